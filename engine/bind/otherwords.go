package bind

import (
	"cmp"
	"fmt"
	"maps"
	"slices"
	"strings"

	"gusset/engine/formula"
	"gusset/engine/program"
	"gusset/sheets/text"
	"gusset/units/nearest"
)

// otherWords says what is meant by words that people know for what the language calls otherwise.
var otherWords = map[string]string{
	"avg": "write mean", "total": "write sum", "maximum": "write max", "minimum": "write min",
	"roundup": "write ceil", "rounddown": "write floor", "ceiling": "write ceil", "root": "write sqrt",
	"arcsin": "write asin", "arccos": "write acos", "arctan": "write atan", "log": "write log10, or ln",
	"pi": "write pi, without brackets", "between": "for example 1 < x < 2",
	"pow": "a power is written with ^", "power": "a power is written with ^", "square": "a power is written with ^",
}

// spreadsheetWords are functions under the names that they have in spreadsheets of several languages. In small letters.
var spreadsheetWords = func() map[string]string {
	words := map[string]string{}
	for meant, typed := range map[string]string{
		"if":   "if wenn si se als om hvis jeżeli sinon",
		"and":  "and und et en",
		"or":   "or oder ou of",
		"not":  "not nicht non niet",
		"^":    "potenz puissance potencia potenza macht potência",
		"row":  "vlookup sverweis recherchev buscarv verweis xverweis recherchex",
		"sum":  "summe somme suma somma soma som summa",
		"mean": "average mittelwert mittel durchschnitt moyenne promedio media média gemiddelde medel",
		"sqrt": "wurzel quadratwurzel racine raiz raíz radq wortel", "abs": "betrag",
		"min": "minimo mínimo kleinste", "max": "massimo maximo máximo grösste größte",
		"round": "runden arrondi arrondir redondear arrotonda afronden avrunda",
		"count": "anzahl zählen nb contar conta aantal",
		"ceil":  "aufrunden", "floor": "abrunden ganzzahl", "mod": "rest residuo reste", "median": "mediane médiane mediana",
	} {
		for word := range strings.FieldsSeq(typed) {
			words[word] = meant
		}
	}
	return words
}()

// longestExample is how long a call may be that a hint writes anew.
const longestExample = 80

// spreadsheetHint says what to write for a function that is called as a spreadsheet has it; nothing for others.
func spreadsheetHint(mod *program.Module, name string, n *formula.Call) string {
	meant := spreadsheetWords[strings.ToLower(name)]
	args, short := typedArgs(mod, n), n.Span().Len() <= longestExample
	switch meant {
	case "":
		return ""
	case "if":
		if len(args) == 3 && short {
			return fmt.Sprintf("a choice is written (%s ? %s : %s)", args[0], args[1], args[2])
		}
		return "a choice is written with ? and :, for example ribs > 12 ? 1.5 : 2"
	case "and", "or":
		if len(args) > 1 && short {
			return fmt.Sprintf("write (%s)", strings.Join(args, " "+meant+" "))
		}
		return fmt.Sprintf("write %s between the conditions", meant)
	case "not":
		return "write not before the condition, without a comma"
	case "^":
		if len(args) == 2 && short {
			return fmt.Sprintf("write (%s)^(%s)", args[0], args[1])
		}
		return "a power is written with ^"
	case "row":
		return `a row is named by its first entry: TABLE["ROW"].COLUMN`
	}
	write := "write " + meant
	if program.FunctionByName[meant].BringsTogether() {
		if several := severalValues(mod, n); several != "" {
			write += "(" + several + ")"
		}
	}
	if strings.ToLower(name) == "average" {
		return write
	}
	return "functions have English names: " + write
}

// severalValues writes the values of a call as the list that they could be meant as; nothing where they are
// none, or too long.
func severalValues(mod *program.Module, n *formula.Call) string {
	if len(n.Args) < 2 || n.Span().Len() > longestExample || slices.ContainsFunc(n.Args, hasColumn) {
		return ""
	}
	return "[" + strings.Join(typedArgs(mod, n), ", ") + "]"
}

// typedArgs returns the values of a call as they are typed.
func typedArgs(mod *program.Module, n *formula.Call) []string {
	args := make([]string, len(n.Args))
	for i, a := range n.Args {
		args[i] = strings.TrimSpace(mod.Typed(a.Span()))
	}
	return args
}

// listCall shows how to call a function that goes through rows: with the values that it was given as a list, or with a
// table.
func listCall(mod *program.Module, name string, n *formula.Call) string {
	fn := program.FunctionByName[name]
	if fn.BringsTogether() {
		if several := severalValues(mod, n); several != "" {
			return fmt.Sprintf("write %s(%s) for these values", name, several)
		}
	}
	return fn.Example()
}

// unknownFormula reports that mod, which the sheet calls alias if it is another, has no formula of that name.
func (sc *scope) unknownFormula(mod *program.Module, alias, name string, n *formula.Call) int32 {
	at := n.Func.Span()
	if _, r := sc.lookUp(mod, name); r.Kind != program.NoRef {
		return sc.wrong(at, text.Diag{Code: "formula-form", Msg: name + " is not a formula", Hint: "a product needs its *"})
	}
	d := text.Diag{
		Code: "unknown-formula", Msg: "unknown formula " + name,
		Hint: "gusset library lists the formulas that are at hand",
	}
	if mod != sc.mod {
		d.Msg, d.Hint = fmt.Sprintf("%s has no formula %s", alias, name), ""
		alias += "."
	}
	other := cmp.Or(otherWords[strings.ToLower(name)], spreadsheetHint(sc.mod, name, n))
	if other != "" && mod == sc.mod {
		d.Hint = other
	} else if sc.Looked.Allow(1000 + len(mod.Formulas)) {
		if near, ok := nearest.Word(name, sc.knownFormulas(mod, mod == sc.mod)); ok {
			if strings.EqualFold(near, name) && len(n.Args) == 1 && isBad(n.Args[0]) {
				return sc.addBroken(at) // as in SUM(D2:D20), of which enough has been reported
			}
			d.Hint = fmt.Sprintf("is it %s%s?", alias, near)
		}
	}
	if mod == sc.mod {
		for _, u := range mod.Uses {
			if _, ok := u.Mod.Formulas[name]; ok {
				d.Hint = fmt.Sprintf("is it %s.%s?", u.Alias, name)
			}
		}
	}
	return sc.wrong(at, d)
}

// knownFormulas returns the names of a sheet's formulas, with those that are always at hand if asked for.
func (rs *resolver) knownFormulas(mod *program.Module, all bool) []string {
	known := slices.Collect(maps.Keys(mod.Formulas))
	if all {
		known = append(append(known, program.SpreadForm), rs.pages.names(true)...)
		for _, f := range program.Functions {
			known = append(known, f.Name)
		}
	}
	return program.Sorted(known)
}
