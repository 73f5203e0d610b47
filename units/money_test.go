package units

import (
	"encoding/json"
	"os"
	"slices"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
)

func TestCurrencies(t *testing.T) {
	codes := currencyCodes()
	assert.True(t, slices.IsSorted(codes))
	assert.Equal(t, codes, slices.Compact(slices.Clone(codes)))
	assert.Equal(t, strings.Join(codes, " "), currencies, "three letters and a space each")
	for _, code := range codes {
		d, ok := Money(code)
		assert.True(t, ok, code)
		assert.Equal(t, code, d.String())
	}
	// Withdrawn: mark 2002, kuna 2023, Zimbabwe dollar 2024, Antillean guilder
	// 2025, lev 2026 (ISO 4217 amendments; from memory). Not money: gold, none, lower case.
	for _, code := range []string{"DEM", "HRK", "ZWL", "ANG", "BGN", "XAU", "XXX", "gbp", "", "GB", "GBPX", "G P",
		"ZZZ", "AAA"} {
		_, ok := Money(code)
		assert.False(t, ok, code)
	}
}

// TestCurrenciesAgreeWithISOCodes compares the list with that of Debian's
// package iso-codes, where it is installed. What changed since its release 4.15
// is named here (ISO 4217 amendments; from memory).
func TestCurrenciesAgreeWithISOCodes(t *testing.T) {
	text, err := os.ReadFile("/usr/share/iso-codes/json/iso_4217.json")
	if err != nil {
		require.NotEqual(t, "true", os.Getenv("CI"), "the package iso-codes must be installed here")
		t.Log("the package iso-codes is not installed: the currencies were NOT compared")
		return
	}
	var list map[string][]struct {
		Code string `json:"alpha_3"`
	}
	require.NoError(t, json.Unmarshal(text, &list))
	left := strings.Fields("ANG BGN CUC HRK SLL ZWL XAG XAU XPD XPT XBA XBB XBC XBD XTS XXX")
	came := strings.Fields("XAD XCG ZWG")
	var want []string
	for _, c := range list["4217"] {
		if !slices.Contains(left, c.Code) {
			want = append(want, c.Code)
		}
	}
	for _, code := range came {
		if !slices.Contains(want, code) {
			want = append(want, code)
		}
	}
	slices.Sort(want)
	assert.Equal(t, want, currencyCodes())
}

func TestWithCurrency(t *testing.T) {
	any := unit(t, "money/sq ft").Dim()
	pounds := unit(t, "GBP/sq ft").Dim()
	assert.Equal(t, "any", any.Currency())
	assert.Equal(t, pounds, any.WithCurrency("GBP"))
	assert.Equal(t, unit(t, "USD/sq ft").Dim(), pounds.WithCurrency("USD"))
	assert.Equal(t, any, pounds.WithCurrency(AnyMoney))
	assert.Equal(t, pounds, pounds.WithCurrency("pound"), "a code has three letters")
	assert.Equal(t, Area, Area.WithCurrency("GBP"), "an area has no currency")
	assert.Empty(t, Area.Currency())
	assert.Equal(t, 1.0, unit(t, "money").Factor())
}
