package units

// Data is a unit as data, from which whoever has no Unit can read and show numbers in it as ParseNumber, Format and
// Exact do.
type Data struct {
	Text   string  `json:"text"` // as Unit.String gives it
	Dim    string  `json:"dim"`  // what it counts: the same for units that can be converted
	Num    string  `json:"num"`  // SI per unit is Num/Den times pi to the power Pi, whole numbers of any length
	Den    string  `json:"den"`
	Pi     int     `json:"pi,omitempty"`
	Factor float64 `json:"factor"` // the same as float64

	Reading bool    `json:"reading,omitempty"` // ZeroNum/ZeroDen is added before scaling, and Zero is that as float64
	ZeroNum string  `json:"zeroNum,omitempty"`
	ZeroDen string  `json:"zeroDen,omitempty"`
	Zero    float64 `json:"zero,omitempty"`

	Big   string `json:"big,omitempty"` // of a unit in two parts: their names, and how many small ones a big one has
	Small string `json:"small,omitempty"`
	Per   uint64 `json:"per,omitempty"`
}

// DataOf returns a unit as data.
func DataOf(u Unit) Data {
	d := u.d()
	data := Data{
		Text: d.text, Dim: d.dim.String(), Num: d.ratio.Num().String(), Den: d.ratio.Denom().String(), Pi: d.pi,
		Factor: d.factor,
	}
	if d.offset != nil {
		data.Reading, data.Zero = true, d.off
		data.ZeroNum, data.ZeroDen = d.offset.Num().String(), d.offset.Denom().String()
	}
	if d.mixed != nil {
		data.Big, data.Small, data.Per = d.mixed.big, d.mixed.small, d.mixed.per
	}
	return data
}
