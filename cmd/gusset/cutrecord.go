package main

import (
	"strconv"

	"gusset/engine"
)

type planRecord struct {
	Plan   string        `json:"plan"`
	Stock  string        `json:"stock,omitempty"`
	Long   any           `json:"long"`
	Wide   any           `json:"wide"`
	Unit   string        `json:"unit"`
	Needed any           `json:"needed"`
	Proven bool          `json:"proven"`
	Used   float64       `json:"used"`
	Reason string        `json:"reason,omitempty"`
	Sheets []sheetRecord `json:"sheets"`
}

type sheetRecord struct {
	Feel    []string      `json:"feel,omitempty"`
	Pieces  []pieceRecord `json:"pieces"`
	Offcuts []rectRecord  `json:"offcuts"`
}

type pieceRecord struct {
	Piece  string `json:"piece"`
	Number int    `json:"number"`
	rectRecord
}

type rectRecord struct {
	X    float64 `json:"x"`
	Y    float64 `json:"y"`
	Long float64 `json:"long"`
	Wide float64 `json:"wide"`
}

// planRecordOf is what --json prints of a plan: all lengths in the unit of the stock's length, x along the grain.
func planRecordOf(p engine.CutPlan) planRecord {
	r := planRecord{Plan: p.Name, Stock: p.Stock, Reason: p.Reason, Sheets: []sheetRecord{}}
	if p.Reason != "" {
		return r
	}
	in := func(v engine.Value) float64 { return rounded(p.Long.Unit.Value(v.SI())) }
	rect := func(r engine.CutRect) rectRecord { return rectRecord{in(r.X), in(r.Y), in(r.Long), in(r.Wide)} }
	r.Long, r.Wide, r.Unit = in(p.Long), in(p.Wide), p.Long.Unit.String()
	r.Needed, r.Proven, r.Used = len(p.Sheets), p.Proven, p.Used
	for _, s := range p.Sheets {
		sheet := sheetRecord{Feel: s.Feels, Pieces: []pieceRecord{}, Offcuts: []rectRecord{}}
		for _, piece := range s.Pieces {
			sheet.Pieces = append(sheet.Pieces, pieceRecord{piece.Piece, piece.Number, rect(piece.CutRect)})
		}
		for _, o := range s.Offcuts {
			sheet.Offcuts = append(sheet.Offcuts, rect(o))
		}
		r.Sheets = append(r.Sheets, sheet)
	}
	return r
}

// rounded leaves out what adding up has done to the last digits: nobody cuts as finely as that.
func rounded(x float64) float64 {
	r, err := strconv.ParseFloat(strconv.FormatFloat(x, 'g', 12, 64), 64)
	if err != nil {
		return x
	}
	return r
}
