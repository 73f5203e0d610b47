package odds

import (
	"hash/fnv"
	"math"

	"gusset/engine/program"
)

// input is a given value that is drawn for each build.
type input struct {
	slot   int32
	name   string
	value  float64
	spread program.Tolerance
	guess  bool // nobody has said how far off it may be: it has the wide spread of a guess
	stream stream
}

// stream is a sequence of random numbers that are looked up by their place, so that the draw of build k depends on the
// seed, the input and k alone: not on how many builds there are, nor on which processor works it out.
//
// It is SplitMix64 (Steele, Lea, Flood: Fast splittable pseudorandom number generators, OOPSLA 2014), whose state is a
// counter: number k is mix(start + k gamma).
type stream uint64

// gamma is the odd number nearest to 2^64 over the golden ratio.
const gamma = 0x9e3779b97f4a7c15

// mix is the finishing step of SplitMix64: every bit of z bears on every bit of the result.
func mix(z uint64) uint64 {
	z = (z ^ z>>30) * 0xbf58476d1ce4e5b9
	z = (z ^ z>>27) * 0x94d049bb133111eb
	return z ^ z>>31
}

// streamOf returns the stream of an input, by its name and value: what has both alike in two sheets is the same piece,
// and is drawn alike.
func streamOf(seed uint64, name string, value float64) stream {
	h := fnv.New64a()
	h.Write([]byte(name))
	return stream(mix(mix(h.Sum64()^math.Float64bits(value)) + mix(seed)))
}

// uniform returns number k of the stream, between 0 and 1 and neither of them.
func (s stream) uniform(k int) float64 {
	return (float64(mix(uint64(s)+uint64(k)*gamma)>>11) + 0.5) * 0x1p-53
}

// fill draws an input for as many builds as there is room, beginning with build first.
func (in *input) fill(draws []float64, first int) {
	half, normal := in.spread.Half, in.spread.Kind != program.Rectangular
	switch {
	case normal:
		scale := in.spread.SD() * math.Sqrt2
		for i := range draws {
			draws[i] = in.value + scale*math.Erfinv(2*in.stream.uniform(first+i)-1)
		}
	case in.spread.Whole: // each whole number between the limits is as likely as the others
		low := math.Ceil(in.value - half)
		many := math.Floor(in.value+half) - low + 1
		for i := range draws {
			draws[i] = low + math.Floor(many*in.stream.uniform(first+i))
		}
		return
	default:
		for i := range draws {
			draws[i] = in.value + half*(2*in.stream.uniform(first+i)-1)
		}
	}
	if in.spread.Whole {
		for i := range draws {
			draws[i] = math.Round(draws[i])
		}
	}
}

// crosses returns which share of builds an input has on the other side of 0: a normal spread has no limits. Nothing is
// cut off; whoever shows the result says so.
func (in *input) crosses() float64 {
	if in.spread.Kind == program.Rectangular || in.value == 0 {
		return 0
	}
	return math.Erfc(math.Abs(in.value)/in.spread.SD()/math.Sqrt2) / 2
}
