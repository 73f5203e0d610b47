package main

import (
	"io/fs"
	"os"
	"path/filepath"
	"runtime"
	"strings"
	"sync"

	"gusset/engine"
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
	changes   map[*sheetChange][]engine.Move // what is given anew
	mistakes  int                            // in the texts, whatever the values are
	problems  text.Diags                     // mistakes, and remarks that there were none of before the change
	err       error
}

// The bounds of what is looked through in a folder.
const (
	maxModels = 5000
	maxDepth  = 8 // folders within folders
)

// modelFiles returns the sheets that were named, and those in the folders that were named, in that order and each once.
func modelFiles(args []string) ([]*model, error) {
	var models []*model
	seen := map[string]bool{}
	add := func(file string, found bool) {
		if real := realPath(file); !seen[real] {
			seen[real] = true
			models = append(models, &model{file: file, found: found})
		}
	}
	for _, arg := range args {
		if info, err := os.Stat(arg); err != nil || !info.IsDir() {
			add(arg, false) // what cannot be read is said in its turn
			continue
		}
		files, err := sheetsBelow(arg)
		if err != nil {
			return nil, err
		}
		for _, file := range files {
			add(file, true)
		}
	}
	return models, nil
}

// sheetsBelow returns the sheets in a folder and in those below it, in the order of their names.
func sheetsBelow(folder string) ([]string, error) {
	var files []string
	top := strings.Count(filepath.Clean(folder), string(filepath.Separator))
	err := filepath.WalkDir(folder, func(path string, d fs.DirEntry, err error) error {
		switch {
		case err != nil:
			return trouble(unread(path, err))
		case d.IsDir() && path != folder && (strings.HasPrefix(d.Name(), ".") || strings.Count(path, string(filepath.Separator))-top > maxDepth):
			return filepath.SkipDir
		case d.IsDir() || !isSheet(path):
			return nil
		case len(files) == maxModels:
			return usage("%s holds more than %d sheets; name a smaller folder", folder, maxModels)
		}
		files = append(files, path)
		return nil
	})
	if err == nil && len(files) == 0 {
		err = usage("there is no sheet in %s", folder)
	}
	return files, err
}

// realPath returns where a file is, links followed, so that files can be told apart.
func realPath(file string) string {
	abs, err := filepath.Abs(file)
	if err != nil {
		return file
	}
	if real, err := filepath.EvalSymlinks(abs); err == nil {
		return real
	}
	return abs
}

// inParallel calls work for each index below n, on as many processors as there are.
func inParallel(n int, work func(i int)) {
	next := make(chan int)
	var workers sync.WaitGroup
	for range min(n, runtime.GOMAXPROCS(0)) {
		workers.Go(func() {
			for i := range next {
				work(i)
			}
		})
	}
	for i := range n {
		next <- i
	}
	close(next)
	workers.Wait()
}
