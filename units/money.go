package units

import (
	"slices"
	"strings"
	"sync"
)

// currencies are the active codes of ISO 4217, each three letters long and in
// order. Precious metals, the codes for testing and for no currency, and bond
// market units are left out.
const currencies = "AED AFN ALL AMD AOA ARS AUD AWG AZN BAM BBD BDT BHD BIF BMD BND BOB BOV BRL BSD BTN BWP BYN BZD " +
	"CAD CDF CHE CHF CHW CLF CLP CNY COP COU CRC CUP CVE CZK DJF DKK DOP DZD EGP ERN ETB EUR FJD FKP GBP GEL GHS GIP " +
	"GMD GNF GTQ GYD HKD HNL HTG HUF IDR ILS INR IQD IRR ISK JMD JOD JPY KES KGS KHR KMF KPW KRW KWD KYD KZT LAK LBP " +
	"LKR LRD LSL LYD MAD MDL MGA MKD MMK MNT MOP MRU MUR MVR MWK MXN MXV MYR MZN NAD NGN NIO NOK NPR NZD OMR PAB PEN " +
	"PGK PHP PKR PLN PYG QAR RON RSD RUB RWF SAR SBD SCR SDG SEK SGD SHP SLE SOS SRD SSP STN SVC SYP SZL THB TJS TMT " +
	"TND TOP TRY TTD TWD TZS UAH UGX USD USN UYI UYU UYW UZS VED VES VND VUV WST XAD XAF XCD XCG XDR XOF XPF XSU XUA " +
	"YER ZAR ZMW ZWG"

// currencyCodes lists the codes in order.
var currencyCodes = sync.OnceValue(func() []string { return strings.Fields(currencies) })

// isCurrency reports whether code is an active ISO 4217 code, in capitals.
func isCurrency(code string) bool {
	_, found := slices.BinarySearch(currencyCodes(), code)
	return found
}

// Money returns the dimension of an amount in the currency of an ISO 4217 code,
// and whether there is such a code. Two currencies are two dimensions.
func Money(code string) (Dim, bool) {
	if !isCurrency(code) {
		return Dim{}, false
	}
	d := Dim{currency: [3]byte{code[0], code[1], code[2]}}
	d.exp[iMoney] = parts
	return d, true
}

// AnyMoney is the currency of the unit `money`, which means whatever
// currency a formula is given. No value is counted in it.
const AnyMoney = "any"

// Currency returns the ISO 4217 code of the money in d, AnyMoney, or "" where
// there is no money.
func (d Dim) Currency() string {
	if d.currency == ([3]byte{}) {
		return ""
	}
	return string(d.currency[:])
}

// WithCurrency returns d with its money in another currency; d itself where
// there is no money.
func (d Dim) WithCurrency(code string) Dim {
	if d.exp[iMoney] != 0 && len(code) == len(d.currency) {
		copy(d.currency[:], code)
	}
	return d
}
