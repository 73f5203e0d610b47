package main

import (
	"runtime"
	"sync"
	"sync/atomic"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/report"
	"gusset/sheets/text"
)

// model is one of the sheets that a change may move.
type model struct {
	file      string // as it is shown
	found     bool   // in a folder, rather than named
	title     string
	elsewhere string // the other file that the name of the change leads to in this model
	used      bool   // it uses the changed sheet
	ripple    engine.Ripple
	changes   map[*sheetChange]report.Given
	held      map[*sheetChange][]engine.Stay // what did not move in the changed sheets themselves
	variants  []string                       // its variants, which are not looked at
	wrong     report.Wrong                   // in the texts, and what has no result
	problems  text.Diags                     // mistakes, and remarks that there were none of before the change
	err       error
}

// modelFiles returns the sheets that were named, and those in the folders that were named, in that order and each once.
func modelFiles(args []string) ([]*model, error) {
	var models []*model
	found, err := project.FindAll(args)
	for _, f := range found {
		models = append(models, &model{file: f.Name, found: f.InFolder})
	}
	switch kind := project.KindOf(err); {
	case err == nil:
		return models, nil
	case kind == project.NoSheets, kind == project.TooMany:
		return nil, usage("%v", err)
	}
	return nil, ioFailure(err)
}

// inParallel calls work for each index below n, on as many processors as there are.
func inParallel(n int, work func(i int)) {
	var next atomic.Int64
	var workers sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		workers.Go(func() {
			for i := next.Add(1) - 1; i < int64(n); i = next.Add(1) - 1 {
				work(int(i))
			}
		})
	}
	workers.Wait()
}
