package library_test

import (
	"io/fs"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/text"
)

// cautionsPage returns the page of general cautions: its text, and its cautions by topic.
func cautionsPage(t *testing.T) (string, map[string][]string) {
	t.Helper()
	data, err := fs.ReadFile(library.Pages(), "cautions.gusset")
	require.NoError(t, err)
	file, diags := text.Parse(text.NewSource("cautions.gusset", data))
	require.Empty(t, diags)
	topics := map[string][]string{}
	for _, n := range file.Nodes {
		if c, ok := n.(*text.Caution); ok {
			topic, said, found := strings.Cut(c.Text.Text, ": ")
			require.True(t, found, "%q names its topic", c.Text.Text)
			topics[topic] = append(topics[topic], said)
		}
	}
	return string(data), topics
}

func TestCautionsCoverWhatCanHurt(t *testing.T) {
	_, topics := cautionsPage(t)
	for topic, words := range map[string][]string{
		"Structure":         {"load the finished wing", "joints", "Flutter"},
		"Lithium batteries": {"Charge attended", "does not burn", "swollen", "cell count", "storage voltage"},
		"Propellers":        {"Take the propeller off", "plane", "failsafe", "nicked"},
		"Workshop":          {"blade", "dust", "Eye guards", "Music wire", "Rubber under tension"},
		"Glue and fuel":     {"safety sheet", "Instant glue", "Epoxy", "fuel"},
		"Flying":            {"rules of your country", "people", "in sight", "someone experienced", "range check"},
	} {
		all := strings.ToLower(strings.Join(topics[topic], "\n"))
		for _, w := range words {
			assert.Contains(t, all, strings.ToLower(w), topic)
		}
	}
}

// TestNoCountrysRuleIsTheReadersLaw: figures of a country stand in the table of examples alone, each with its
// date and source.
func TestNoCountrysRuleIsTheReadersLaw(t *testing.T) {
	page, topics := cautionsPage(t)
	figure := regexp.MustCompile(`\b\d+ (g|kg|m|ft)\b`)
	country := regexp.MustCompile(`United|Europe|Britain|British|Canada|America`)
	for topic, said := range topics {
		for _, s := range said {
			assert.NotRegexp(t, country, s, topic)
			assert.NotRegexp(t, figure, s, topic)
		}
	}
	questions, examples, found := strings.Cut(page[strings.Index(page, "table look_up_locally"):], "table rule_examples")
	require.True(t, found)
	assert.NotRegexp(t, figure, questions)
	assert.Contains(t, questions, "They are not your rules, may have changed since")
	for _, line := range strings.Split(examples[:strings.Index(examples, "How people were hurt")], "\n") {
		if strings.Count(line, "|") == 3 && !strings.Contains(line, "example_of") {
			dated := strings.Split(line, "|")[2]
			assert.Regexp(t, `\d{4}|second-hand`, dated, line)
			assert.Regexp(t, `\w{4,}`, strings.Split(line, "|")[3], line)
		}
	}
}

// TestWhatToLookUp: nothing that differs by country is left out, and every question has somebody to ask.
func TestWhatToLookUp(t *testing.T) {
	m := loadSheet(
		t,
		"question : \"height\"\nwhat = look_up_locally[question].what_to_ask\nwhom = look_up_locally[question].whom\n",
	)
	require.NoError(t, m.Problems().Err())
	for _, question := range []string{
		"registration", "take-off mass", "camera", "marking", "age and test", "energy", "greatest mass", "height",
		"airspace", "people", "buildings",
		"line of sight", "identification", "insurance", "land", "club rules", "noise", "carriage", "disposal", "accident",
	} {
		require.NoError(t, m.Set("question", question))
		for _, cell := range []string{"what", "whom"} {
			v, err := m.Value(cell)
			require.NoError(t, err)
			assert.Equal(t, engine.OK, v.Status, "%s: %s", question, v.Reason)
			assert.NotEmpty(t, v.Text, question)
		}
	}
}

func TestCautionFigures(t *testing.T) {
	const injuries = "Johnson, Svach and Brown, American Journal of Preventive Medicine 57(6), 2019, 826-829"
	workFigures(t, "", []figure{
		{
			what: "propellers", formula: `injury_shares["hurt by a propeller"].share`, unit: "%",
			printed: "74.2", source: injuries,
		},
		{
			what: "cuts", formula: `injury_shares["cuts, tears, amputations"].share`, unit: "%",
			printed: "88.5", source: injuries,
		},
		{what: "arm and hand", formula: `injury_shares["arm and hand"].share`, unit: "%", printed: "65.7", source: injuries},
		{
			what: "0.55 lb is less than 250 g", formula: "0.55 [lb]", unit: "g", byHand: "249.5",
			source: "14 CFR 48.15(b); NIST Special Publication 811, appendix B.8: 453.59237 g",
		},
		{
			what: "a kilogram at 30 mph", formula: "impact_energy(1 [kg], 30 [mph])", unit: "J", printed: "90",
			source: "half of 13.4112 squared; worked by hand",
		},
	})
}
