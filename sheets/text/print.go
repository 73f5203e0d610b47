package text

// Bytes returns the file as it was read, byte for byte.
func (f *File) Bytes() []byte {
	out := make([]byte, 0, len(f.Source.Text()))
	for _, n := range f.Nodes {
		s := n.Extent()
		out = append(out, f.Source.Text()[s.Start:s.End]...)
	}
	return out
}
