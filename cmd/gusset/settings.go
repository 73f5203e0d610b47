package main

import (
	"fmt"

	"github.com/spf13/cobra"

	"gusset/engine"
	"gusset/sheets/project"
	"gusset/sheets/text"
)

// settings are in which variant of it, and with which values on top of that, a sheet is worked out for this once.
type settings struct {
	variant string
	sets    []string // NAME=VALUE
}

// addTo adds the options that ask for them: what is done with the variant, and when values are changed.
func (s *settings) addTo(cmd *cobra.Command, done, when string) {
	cmd.Flags().StringVar(&s.variant, "variant", "", done+" this `VARIANT` of the sheet")
	cmd.Flags().StringArrayVar(&s.sets, "set", nil, "change a given value "+when+": `NAME=VALUE` (may be repeated)")
	completeFlag(cmd, "variant", ofSheet(variantNames))
}

// forOnce says when most commands change values.
const forOnce = "for this once"

// load loads a sheet with its settings.
func (s *settings) load(file string) (*project.Sheet, error) {
	sheet, err := project.Load(file)
	if err != nil {
		return nil, err
	}
	return sheet, s.apply(sheet.Model)
}

// apply brings a model into the variant, and sets the values.
func (s *settings) apply(m *engine.Model) error {
	if err := m.UseVariant(s.variant); err != nil {
		return usage("%v", err)
	}
	for _, typed := range s.sets {
		set, _, err := readSet(typed)
		if err != nil {
			return err
		}
		if err := m.Set(set.Name, set.Value); err != nil {
			return notSet(m, typed, err)
		}
	}
	return nil
}

// readSet reads NAME=VALUE.
func readSet(s string) (engine.Setting, text.Path, error) {
	path, value, err := text.ParseSetting(s, "=")
	if err != nil {
		return engine.Setting{}, path, usage("--set %s: %s", s, err.(text.Diags)[0].Msg)
	}
	return engine.Setting{Name: path.Text, Value: value}, path, nil
}

// notSet says why a value cannot be set.
func notSet(m *engine.Model, typed string, err error) error {
	return notMeant(m, fmt.Sprintf("--set %s: %v", typed, err))
}

// notMeant says why something cannot be asked of a sheet. What was meant may be lost to a mistake in it, so the first
// of those is reported too.
func notMeant(m *engine.Model, said string) error {
	for _, d := range m.Mistakes() {
		return usage("%v\n%s", d, said) // of more lines than one
	}
	return usage("%s", said)
}
