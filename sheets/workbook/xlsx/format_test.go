package xlsx

import (
	"testing"

	"github.com/stretchr/testify/assert"
)

func TestIsDate(t *testing.T) {
	for format, want := range map[string]bool{
		"General": false, "0.00": false, "0.00E+00": false, "# ?/16": false, "@": false, "": false, "0%": false,
		"mm-dd-yy": true, "d-mmm": true, "YYYY/M/D": true, "h:mm AM/PM": true, "[h]:mm": true, "[MM]": true, "[ss]": true,
		`0.00" in"`: false, `# ?/16" yards"`: false, `0.0\d`: false, `0_d`: false, `*d0`: false, `0.0\"`: false,
		`0.0\"d`:              true,
		"[Red]0;[Blue][<0]-0": false, "[$-409]d": true, "[$-409]0": false, "[$€-407]0": false, "[DBNum1]0": false,
		`0;-0;0;@" m"`: false, "0;-0;0;d": false, "0;d": true, "General;[Red]yy": true,
		`0"`: false, `0"d`: false, "0[d": false, `0\`: false, "[": false, "[h": true,
	} {
		assert.Equal(t, want, IsDate(format), format)
	}
}

func TestIsPercent(t *testing.T) {
	for format, want := range map[string]bool{
		"0%": true, "0.00%": true, "[Red]0.0 %": true, "0;-0%": true, "% 0": true,
		`0.0" %"`: false, `0\%`: false, "0_%": false, "General": false, "[%]0": false, "0;0;0;%": false, "": false,
	} {
		assert.Equal(t, want, IsPercent(format), format)
	}
}
