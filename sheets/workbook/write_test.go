package workbook

import (
	"archive/zip"
	"bytes"
	"encoding/xml"
	"fmt"
	"io"
	"os"
	"regexp"
	"strings"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"github.com/xuri/excelize/v2"

	"gusset/engine"
	"gusset/library"
	"gusset/sheets/workbook/formula"
	"gusset/sheets/workbook/xlsx"
)

// What a formula of the sheet becomes. The right-hand side is what a club mate reads.
func TestFormulasAreTheBuildersOwn(t *testing.T) {
	const given = `sheet "t"
use "rack.gusset" as rack
span [in] : 50
chord [in] : 8
kilo [kg] : 1
ft [ft] : 3
metric [in] : 120 mm
angle [deg] : 30
share [%] : 30
warm [degC] : 20
hot [degF] : 60
none_yet [degC] :
anything :
table days
  day | noon [degC] | dew [degC]
  mon | -2 | -3
  tue | 22 | 14
wood : "spruce"
no_letters : ""
turns [rpm] : 9000
table empty
  n | p [in]
formula pick(a, b) = a > 1 ? b : 0
  needs a < 9
  needs b > 0
fitted : yes
n : 3
weight [oz] = 38 [oz] * 1
wing_area [sq in] = span * chord * 1
speed [mph] = 20 [mph] * 1
table pulls
  turn [in] from 0 to 3 step 1
  pull [ozf] = turn * 2 [ozf/in]
table parts
  part | kind | at [in] | heavy [oz] | weighed [oz]
  a | "wing" | 1 | 3 | 4
  b | "tail" | 2 | 5 |
  weight [oz] = weighed ?? heavy
table finish
  piece | coat [one of "oil", ""]
  a | "oil"
  b | ""
formula over(y, z) = sum(map(parts, .at / 1 [in] * y * z))
  needs y > 0
  needs z > 0
formula up_to(a, b) = a > b ? a : 0
  needs a < 9
  needs b < 9
formula lever(load [kg], arm [mm]) [ozf-in] = load * standard_gravity * arm
  needs arm >= 0 [mm] // an arm
`
	for _, tt := range []struct{ sheet, book string }{
		{`x [oz/sq ft] = weight / wing_area`, `weight/wing_area*144`},
		{
			`x [oz/sq ft] = wing_loading(weight, wing_area)`,
			`IF(AND(IFERROR(wing_area>0,TRUE),IFERROR(weight>=0,TRUE)),weight/wing_area*144,1/0)`,
		},
		{`x [sq in] = span * chord`, `IF(COUNT(span,chord)=2,span*chord,NA())`},
		{`x [sq ft] = wing_area`, `wing_area/144`},
		{`x [mm] = 2 * span`, `IF(ISNUMBER(span),2*span*25.4,NA())`},
		{`x [in] = span + 1/2 [ft]`, `IF(ISNUMBER(span),span+6,NA())`},
		{`x [in] = ft + chord`, `IF(COUNT(ft,chord)=2,ft*12+chord,NA())`},
		{`x [in] = wing_area / span`, `IF(ISNUMBER(span),wing_area/span,NA())`},
		{`x [in] = sqrt(wing_area)`, `SQRT(wing_area)`},
		{`x [in] = 30 [%] * chord`, `IF(ISNUMBER(chord),30%*chord,NA())`},
		{`x [in] = share * chord`, `IF(COUNT(share,chord)=2,share*chord/100,NA())`},
		{`x = sin(angle)`, `IF(ISNUMBER(angle),SIN(RADIANS(angle)),NA())`},
		{`x [deg] = atan(n)`, `IF(ISNUMBER(n),DEGREES(ATAN(n)),NA())`},
		{`x [deg] = atan2(span, chord)`, `IF(COUNT(span,chord)=2,DEGREES(ATAN2(chord,span)),NA())`},
		{`x [degF] = warm`, `IF(ISNUMBER(warm),warm*1.8+32,NA())`},
		{`x [degC] = hot`, `IF(ISNUMBER(hot),(hot-32)/1.8,NA())`},
		{`x [degC] = warm + 5 [K]`, `IF(ISNUMBER(warm),warm+5,NA())`},
		{`x [degC] = 5 [K] + warm`, `IF(ISNUMBER(warm),5+warm,NA())`},
		{`x [degC] = hot + 5 [K]`, `IF(ISNUMBER(hot),(hot+9-32)/1.8,NA())`},
		{`x [K] = warm`, `IF(ISNUMBER(warm),warm+273.15,NA())`},
		{`x [K] = warm - 20 [degC]`, `IF(ISNUMBER(warm),warm-20,NA())`},
		{`x [K] = warm - hot`, `IF(COUNT(warm,hot)=2,warm+273.15-(hot+459.67)/1.8,NA())`},
		{`x [degC] = 50 [degF]`, `10`},
		{`x [degC] = none_yet ?? 15 [degC]`, `IF(ISNUMBER(none_yet),none_yet,15)`},
		{`x [degC] = max(warm, 15 [degC])`, `IF(ISNUMBER(warm),MAX(warm,15),NA())`},
		{`x [degC] = n > 2 ? warm : 15 [degC]`, `IF(ISNUMBER(n),IF(n>2,IF(ISNUMBER(warm),warm,NA()),15),NA())`},
		{`x [degC] = max(days.noon)`, `IF(AND(COUNT(days_noon)=ROWS(days_noon),days_counted),MAX(days_noon),NA())`},
		{
			`x [degC] = mean(filter(days, .noon > 0 [degC]).noon)`,
			`{IF(AND(COUNT(days_noon)=ROWS(days_noon),days_counted),AVERAGE(IF(days_noon>0,days_noon,"")),NA())}`,
		},
		{`x [oz] = anything ?? weight`, `IF(ISNUMBER(anything),1/0,weight)`},
		{`x = anything ?? n`, `IF(ISNUMBER(anything),anything,IF(ISNUMBER(n),n,NA()))`},
		{`x = warm / 293.15 [K]`, `IF(ISNUMBER(warm),(warm+273.15)/293.15,NA())`},
		{`x [degC] = interpolate(warm, days.noon, days.dew)`, `IF(AND(COUNT(warm,days_noon,days_dew)=1+ROWS(days_noon)+ROWS(days_dew),days_counted),IF(OR(warm<MIN(days_noon),warm>MAX(days_noon),` +
			`SUMPRODUCT(1*(INDEX(days_noon,2):INDEX(days_noon,ROWS(days_noon))<=INDEX(days_noon,1):INDEX(days_noon,ROWS(days_noon)-1)))>0),1/0,` +
			`FORECAST(warm,INDEX(days_dew,MIN(MATCH(warm,days_noon,1),ROWS(days_noon)-1)):INDEX(days_dew,MIN(MATCH(warm,days_noon,1),ROWS(days_noon)-1)+1),` +
			`INDEX(days_noon,MIN(MATCH(warm,days_noon,1),ROWS(days_noon)-1)):INDEX(days_noon,MIN(MATCH(warm,days_noon,1),ROWS(days_noon)-1)+1))),NA())`},
		{
			`x [in oz] = area_under(parts.at, parts.weight)`,
			`IF(AND(COUNT(parts_at,parts_weight)=ROWS(parts_at)+ROWS(parts_weight),parts_counted),` +
				`IF(SUMPRODUCT(1*(INDEX(parts_at,2):INDEX(parts_at,ROWS(parts_at))<INDEX(parts_at,1):INDEX(parts_at,ROWS(parts_at)-1)))>0,1/0,` +
				`SUMPRODUCT((INDEX(parts_at,2):INDEX(parts_at,ROWS(parts_at))-INDEX(parts_at,1):INDEX(parts_at,ROWS(parts_at)-1))*` +
				`(INDEX(parts_weight,2):INDEX(parts_weight,ROWS(parts_at))+INDEX(parts_weight,1):INDEX(parts_weight,ROWS(parts_at)-1)))/2),` +
				`SUM(parts_weight)+NA())`,
		},
		{
			`x [J] = area_under(pulls.turn, pulls.pull)`, // x always rises; inches times ounces of force as joules
			`IF(AND(COUNT(pulls_pull)=ROWS(pulls_pull),pulls_counted),` +
				`SUMPRODUCT((INDEX(pulls_turn,2):INDEX(pulls_turn,ROWS(pulls_turn))-INDEX(pulls_turn,1):INDEX(pulls_turn,ROWS(pulls_turn)-1))*` +
				`(INDEX(pulls_pull,2):INDEX(pulls_pull,ROWS(pulls_turn))+INDEX(pulls_pull,1):INDEX(pulls_pull,ROWS(pulls_turn)-1)))` +
				`/2*0.0070615518142260435,SUM(pulls_pull)+NA())`,
		},
		{`check x = hot > 50 [degF]`, `IFERROR(IF(ISNUMBER(hot),IF(hot>50,"holds","fails"),NA()),"waits")`},
		{`x [ozf] = weight * standard_gravity`, `weight*standard_gravity/9.80665`},
		{`x = -n^2`, `IF(ISNUMBER(n),-(n^2),NA())`},
		{`x = 2^n^2`, `IF(ISNUMBER(n),2^(n^2),NA())`},
		{`x = (n - (n - 1)) / (n / 2)`, `IF(ISNUMBER(n),(n-(n-1))/(n/2),NA())`},
		{`x [in^3] = wing_area^1.5`, `wing_area^1.5`},
		{`x = ceil(n / 2)`, `IF(ISNUMBER(n),-INT(1E-12*ABS(n/2)-n/2),NA())`},
		{`x [in] = round(span, 1/16 [in])`, `IF(ISNUMBER(span),ROUND(span/0.0625,0)*0.0625,NA())`},
		{`x [in] = min(span, chord, ft)`, `IF(COUNT(span,chord,ft)=3,MIN(span,chord,ft*12),NA())`},
		{
			`x = fitted and n > 2`,
			`IF(IF(AND(IF(AND(fitted<>"",COUNT(fitted_wrong)=0),fitted="yes",TRUE),IF(ISNUMBER(n),n>2,TRUE)),AND(IF(AND(fitted<>"",COUNT(fitted_wrong)=0),fitted="yes",NA()),IF(ISNUMBER(n),n>2,NA())),FALSE),"yes","no")`,
		},
		{
			`x [in] = wood == "spruce" ? span : chord`,
			`IF(wood<>"",IF(EXACT(wood,"spruce"),IF(ISNUMBER(span),span,NA()),IF(ISNUMBER(chord),chord,NA())),NA())`,
		},
		{`x = "light " + wood`, `IF(wood<>"","light "&wood,NA())`},
		{`x [oz] = sum(parts.weight)`, `IF(AND(COUNTBLANK(parts_weight)=0,parts_counted),SUM(parts_weight),NA())`},
		{`x [oz] = sum(parts.heavy)`, `IF(AND(COUNT(parts_heavy)=ROWS(parts_heavy),parts_counted),SUM(parts_heavy),NA())`},
		{
			`x [oz in] = sum(parts.weight * parts.at)`,
			`IF(AND(COUNT(parts_at)=ROWS(parts_at),COUNTBLANK(parts_weight)=0,parts_counted),SUMPRODUCT(parts_weight*parts_at),NA())`,
		},
		{
			`x [in] = sum(map(parts, abs(.at)))`,
			`{IF(AND(COUNT(parts_at)=ROWS(parts_at),parts_counted),SUM(ABS(parts_at)),NA())}`,
		},
		{
			`x = all(parts, abs(.at) < 3 [in])`,
			`{IF(AND(COUNT(parts_at)=ROWS(parts_at),parts_counted),IF(SUM(IF(ABS(parts_at)<3-3E-12,1,0))=ROWS(parts_part),"yes","no"),NA())}`,
		},
		{
			`x [oz] = sum(filter(parts, .kind == "wing"), .weight)`,
			`{IF(AND(COUNTBLANK(parts_kind)=0,COUNTBLANK(parts_weight)=0,parts_counted),SUM(IF(EXACT(parts_kind,"wing"),parts_weight,0)),NA())}`,
		},
		{
			`x = count(parts, .weight > 4 [oz])`,
			`{IF(AND(COUNTBLANK(parts_weight)=0,parts_counted),SUM(IF(parts_weight>4+4E-12,1,0)),NA())}`,
		},
		{
			`x [oz] = sum(filter(parts, .heavy > 4 [oz]), .heavy)`,
			`{IF(AND(COUNT(parts_heavy)=ROWS(parts_heavy),parts_counted),SUM(IF(parts_heavy>4,parts_heavy,0)),NA())}`,
		},
		{`x [oz] = first(filter(parts, .kind == "wing").heavy)`,
			`{IF(AND(COUNTBLANK(parts_kind)=0,parts_counted),IF(SUM(IF(EXACT(parts_kind,"wing"),1,0))=0,1/0,IF(SUM(IF(EXACT(parts_kind,"wing"),IF(ISERROR(IF(ISNUMBER(parts_heavy),parts_heavy,NA())),` +
				`IF(ISNUMBER(parts_heavy),parts_heavy,NA()),0),0))=0,INDEX(IF(ISNUMBER(parts_heavy),parts_heavy,NA()),MATCH(TRUE,EXACT(parts_kind,"wing"),0)))),NA())}`},
		{`x = find(parts, .heavy > 4 [oz]).kind`, `{IF(AND(COUNT(parts_heavy)=ROWS(parts_heavy),parts_counted),IF(SUM(IF(parts_heavy>4,1,0))=0,1/0,` +
			`IF(SUM(IF(parts_heavy>4,IF(ISERROR(IF(parts_kind="",NA(),parts_kind)),IF(parts_kind="",NA(),parts_kind),0),0))=0,INDEX(IF(parts_kind="",NA(),parts_kind),MATCH(TRUE,parts_heavy>4,0)))),NA())}`},
		{`x [oz] = last(filter(parts, .heavy > 4 [oz]).heavy)`, `{IF(AND(COUNT(parts_heavy)=ROWS(parts_heavy),parts_counted),IF(SUM(IF(parts_heavy>4,1,0))=0,1/0,` +
			`INDEX(parts_heavy,MAX(IF(parts_heavy>4,ROW(parts_part)-MIN(ROW(parts_part))+1,0)))),NA())}`},
		{`x [oz] = parts["b"].weight`, `parts_b_weight`},
		{
			`x [in] = rack.stock[wood].thick`,
			`IF(ISNUMBER(INDEX(rack_stock_thick,MATCH(wood,rack_stock_stock,0))),INDEX(rack_stock_thick,MATCH(wood,rack_stock_stock,0)),NA())`,
		},
		{`check x = weight < 40 [oz]`, `IFERROR(IF(weight<40-4E-11,"holds","fails"),"waits")`},
		{`check x = 5 [ft] >= span`, `IFERROR(IF(ISNUMBER(span),IF(span<=60,"holds","fails"),NA()),"waits")`},
		{
			`check x = metric <= 120 [mm]`,
			`IFERROR(IF(ISNUMBER(metric),IF(metric<=4.724409448818897+4.72E-12,"holds","fails"),NA()),"waits")`,
		},
		{`check x = count(parts) > 1`, `IFERROR(IF(parts_counted,IF(ROWS(parts_part)>1,"holds","fails"),NA()),"waits")`},
		{`check x = fitted and 2 > 1`, `IFERROR(IF(AND(fitted<>"",COUNT(fitted_wrong)=0),IF(fitted="yes","holds","fails"),NA()),"waits")`},
		{
			`x [ozf-in] = lever(kilo, ft)`,
			`IF(ISNUMBER(ft),IF(ft>=0,IF(ISNUMBER(kilo),kilo*standard_gravity*ft*43.16331707514441,NA()),1/0),NA())`,
		},
		{`x [in] = 30 [mm] + ft`, `IF(ISNUMBER(ft),(0.0984251968503937+ft)*12,NA())`},
		{`check x = span <= 5 [ft]`, `IFERROR(IF(ISNUMBER(span),IF(span<=60,"holds","fails"),NA()),"waits")`},
		{`check x = 2 < n < 12 and 10 [in] < span < 60 [in]`, `IFERROR(IF(IF(AND(IFERROR(IF(ISNUMBER(n),AND(n>2,n<12),NA()),TRUE),IFERROR(IF(ISNUMBER(span),AND(span>10,span<60),NA()),TRUE)),` +
			`AND(IF(ISNUMBER(n),AND(n>2,n<12),NA()),IF(ISNUMBER(span),AND(span>10,span<60),NA())),FALSE),"holds","fails"),"waits")`},
		{`x [in] = min(min(ft, chord), 2 [in])`, `IF(COUNT(ft,chord)=2,MIN(ft*12,chord,2),NA())`},
		{`x [in^3] = wing_area^(3/2)`, `wing_area^(3/2)`},
		{`x [in^3] = wing_area^(3-1.5)`, `wing_area^(3-1.5)`},
		{
			`x = over(n, turns / 1 [rpm])`,
			`IF(IF(AND(IF(ISNUMBER(n),n>0,TRUE),IFERROR(IF(ISNUMBER(turns),turns>0,NA()),TRUE)),IF(ISERR(IF(ISNUMBER(turns)` +
				`,turns>0,NA())),IF(ISNUMBER(turns),turns>0,NA()),AND(IF(ISNUMBER(n),n>0,NA()),IF(ISNUMBER(turns),turns>0,` +
				`NA()))),FALSE),IF(AND(COUNT(parts_at,n,turns)=2+ROWS(parts_at),parts_counted),SUMPRODUCT(parts_at*n*turns),NA()),1/0)`,
		},
		{
			`x = up_to(n, share / 10 [%])`,
			`IF(AND(IF(ISNUMBER(n),n<9,TRUE),IFERROR(IF(ISNUMBER(share),share/10%<900-9E-10,NA()),TRUE)),IF(COUNT(share,n)=` +
				`2,IF(share/10%<n*100-1E-12*ABS(n*100),n,0),NA()),1/0)`,
		},
		{`x = wood == "spruce" or wood == "pine" ? 1 : 2`, `IF(wood<>"",IF(OR(EXACT(wood,"spruce"),EXACT(wood,"pine")),1,2),NA())`},
		{`x [sq in] = pi * span^2`, `IF(ISNUMBER(span),PI()*span^2,NA())`},
		{`x = first(map(parts, n))`, `IF(AND(ISNUMBER(n),parts_counted),n,NA())`},
		{
			`x [oz] = interpolate(ft / 20, parts.at, parts.heavy)`,
			`IF(AND(COUNT(ft,parts_at,parts_heavy)=1+ROWS(parts_at)+ROWS(parts_heavy),parts_counted),IF(OR(ft/20*12<MI` +
				`N(parts_at)-1E-12*ABS(ft/20*12),ft/20*12>MAX(parts_at)+1E-12*ABS(ft/20*12),SUMPRODUCT(1*(INDEX(parts_at,2` +
				`):INDEX(parts_at,ROWS(parts_at))<=INDEX(parts_at,1):INDEX(parts_at,ROWS(parts_at)-1)))>0),1/0,FORECAST(ft` +
				`/20*12,INDEX(parts_heavy,MIN(MATCH(MAX(ft/20*12,MIN(parts_at)),parts_at,1),ROWS(parts_at)-1)):INDEX(parts` +
				`_heavy,MIN(MATCH(MAX(ft/20*12,MIN(parts_at)),parts_at,1),ROWS(parts_at)-1)+1),INDEX(parts_at,MIN(MATCH(MA` +
				`X(ft/20*12,MIN(parts_at)),parts_at,1),ROWS(parts_at)-1)):INDEX(parts_at,MIN(MATCH(MAX(ft/20*12,MIN(parts_` +
				`at)),parts_at,1),ROWS(parts_at)-1)+1))),NA())`,
		},
		{`x = wing_area^(0/2)`, `wing_area^(0/2)`},
		{
			`x = count(parts, finish[.part].coat == "oil")`,
			`{IF(parts_counted,SUM(IF(EXACT(IF(MATCH(parts_part,IF(IF(ISNUMBER(finish_coat_wrong),FALSE,TRUE),finish_piece),0),` +
				`VLOOKUP(parts_part,finish,2,FALSE)),"oil"),1,0)),NA())}`,
		},
		{`x [in^3] = wing_area^(3/1-1.5)`, `wing_area^(3-1.5)`},
		{`x [in^3] = wing_area^(-0.5+2*1)`, `wing_area^(-0.5+2)`},
		{`x = fitted`, `IF(AND(fitted<>"",COUNT(fitted_wrong)=0),IF(fitted="yes","yes","no"),NA())`},
		{`check x = fitted and 2 >= 1`, `IFERROR(IF(AND(fitted<>"",COUNT(fitted_wrong)=0),IF(fitted="yes","holds","fails"),NA()),"waits")`},
		{`x = n > 2 ? no_letters : "b"`, `IF(ISNUMBER(n),IF(n>2,no_letters,"b")&"",NA())`},
		{`x = all(empty, .p > 1 [in])`, `IF(TRUE,"yes","no")`},
		{`x [in] = sum(empty.p) + ft`, `IF(ISNUMBER(ft),(0+ft)*12,NA())`},
		{`x [deg] = 0.5 [rad]`, `28.64788975654116`}, // 90 over pi
		{`x [rad/s] = turns`, `IF(ISNUMBER(turns),turns*PI()/30,NA())`},
		{`x [rpm] = n * 1 [rad/s]`, `IF(ISNUMBER(n),n*30/PI(),NA())`},
		{
			`x = pick(n, ft / 1 [ft])`,
			`IF(IF(AND(IF(ISNUMBER(n),n<9,TRUE),IFERROR(IF(ISNUMBER(ft),ft>0,NA()),TRUE)),IF(ISERR(IF(ISNUMBER(ft),ft>0,NA())),IF(ISNUMBER(ft),ft>0,NA()),AND(IF(ISNUMBER(n),n<9,NA()),IF(ISNUMBER(ft),ft>0,NA()))),FALSE),IF(ISNUMBER(n),IF(n>1,IF(ISNUMBER(ft),ft,NA()),0),NA()),1/0)`,
		},
		{`x [in] = hypot(span, ft)`, `IF(COUNT(span,ft)=2,SQRT(span^2+(ft*12)^2),NA())`},
		{
			`x [oz] = max(filter(parts, .heavy > 4 [oz]).heavy)`,
			`{IF(AND(COUNT(parts_heavy)=ROWS(parts_heavy),parts_counted),IF(SUM(IF(parts_heavy>4,1,0))=0,1/0,MAX(IF(parts_heavy>4,parts_heavy,""))),NA())}`,
		},
		{
			`x = (fitted or n > 2) and not fitted`,
			`IF(IF(AND(IFERROR(IF(OR(IF(AND(fitted<>"",COUNT(fitted_wrong)=0),fitted="yes",FALSE),IF(ISNUMBER(n),n>2,FALSE)),TRUE,OR(IF(AND(fitted<>"",COUNT(fitted_wrong)=0),fitted="yes",NA()),IF(ISNUMBER(n),n>2,NA()))),TRUE),IF(AND(fitted<>"",COUNT(fitted_wrong)=0),NOT(fitted="yes"),TRUE)),AND(IF(OR(IF(AND(fitted<>"",COUNT(fitted_wrong)=0),fitted="yes",FALSE),IF(ISNUMBER(n),n>2,FALSE)),TRUE,OR(IF(AND(fitted<>"",COUNT(fitted_wrong)=0),fitted="yes",NA()),IF(ISNUMBER(n),n>2,NA()))),IF(AND(fitted<>"",COUNT(fitted_wrong)=0),NOT(fitted="yes"),NA())),FALSE),"yes","no")`,
		},
		{`x = n < 5 ? "a" : wood`, `IF(ISNUMBER(n),IF(n<5,"a",IF(wood<>"",wood,NA())),NA())`},
		{`x = mod(n, -2)`, `IF(ISNUMBER(n),IF(ABS(n/(-2)-ROUND(n/(-2),0))<=1E-12*ABS(n/(-2)),0,n-(-2*INT(n/(-2)))),NA())`},
		{`x [in] = 3 [ft] / 1 [ft] * 1 [ft]`, `36`},
		{`x = fitted == (n > 2) ? 1 : 2`, `IF(AND(ISNUMBER(n),fitted<>"",COUNT(fitted_wrong)=0),IF((fitted="yes")=(n>2),1,2),NA())`},
		{
			`x = all(parts, n > 2) ? 1 : 2`,
			`IF(AND(ISNUMBER(n),parts_counted),IF(ROWS(parts_part)*IF(n>2,1,0)=ROWS(parts_part),1,2),NA())`,
		},
		{`x = count(filter(parts, n > 2))`, `IF(AND(ISNUMBER(n),parts_counted),ROWS(parts_part)*IF(n>2,1,0),NA())`},
		{`check x = 20 [oz] < weight < 40 [oz]`, `IFERROR(IF(AND(weight>20+2E-11,weight<40-4E-11),"holds","fails"),"waits")`},
	} {
		m, err := engine.Load(engine.Sources{
			Files: mapFiles(
				"m.gusset", given+tt.sheet+"\n", "rack.gusset",
				"table stock\n  stock | thick [in]\n  spruce | 1/8\n",
			),
			Library: libraryPages(),
		}, "m.gusset")
		require.NoError(t, err)
		require.Empty(t, m.Problems(), tt.sheet)
		p := planOf(m)
		s := p.spotNamed("x")
		write := p.checked
		if s.kind != engine.Check {
			write = func(s *spot) (formula.Formula, error) { return p.formula(p.expr(s), -1, s.value.Unit) }
		}
		f, err := write(s)
		require.NoError(t, err, tt.sheet)
		got := formula.Print(f)
		if formula.NeedsArray(f) {
			got = "{" + got + "}"
		}
		assert.Equal(t, tt.book, got, tt.sheet)
	}
}

func TestSameSheetGivesSameBytes(t *testing.T) {
	t.Parallel()
	more := 2
	if testing.Short() {
		more = 1
	}
	for i, f := range samples(t) {
		if testing.Short() && i%2 == 1 {
			continue
		}
		first := f.book(t)
		for range more {
			m, src := f.load(t)
			data, _, err := Write(m, src)
			require.NoError(t, err)
			require.True(t, bytes.Equal(first.data, data), f.name)
		}
	}
}

// Names that a spreadsheet takes for something else, or takes for one another.
func TestNamesAreMappedAndListed(t *testing.T) {
	t.Parallel()
	const sheet = "rib3 : 1\nR : 2\nrc : 3\nlog10 : 4\nTrue_ : 5\nspan : 6\nSpan : 7\nflügel_b : 8\nsum_ : 9\na__b_ : 10\nexact : 11\na = rib3 + R + rc + log10 + True_ + span + Span + flügel_b + sum_ + a__b_\n"
	m, src := loadText(t, sheet)
	data, sum, err := Write(m, src)
	require.NoError(t, err)
	assert.Equal(
		t, []Remark{{"rib3", "rib3_"}, {"R", "R_"}, {"rc", "rc_"}, {"log10", "log10_"}, {"Span", "Span_2"}, {"exact", "exact_"}},
		sum.Renamed,
	)
	got := office(t, []officeJob{{In: bytesFile(t, data), Recalculate: true}})[0]
	agree(t, "names", m, got.After, 1e-12)
	all := ""
	for _, c := range got.After.sheet(t, startSheet) {
		all += c.Text + "\n"
	}
	for _, r := range sum.Renamed {
		assert.Contains(t, all, r.Name+"\n")
		assert.Contains(t, all, r.Text+"\n")
	}
}

func bytesFile(t *testing.T, data []byte) string {
	t.Helper()
	f, err := os.CreateTemp(t.TempDir(), "*.xlsx")
	require.NoError(t, err)
	defer f.Close()
	_, err = f.Write(data)
	require.NoError(t, err)
	return f.Name()
}

// A text stays a text, whatever it looks like.
func TestTextsStayTexts(t *testing.T) {
	t.Parallel()
	texts := []string{
		"=1+1", "+1", "-1", "@sum", "=cmd|' /C calc'!A0", "1/2", "0012", "_x0041_", " padded ", `say "no"`,
		"a <b> & 'c'", "ärger 翼",
	}
	var b strings.Builder
	for i, text := range texts {
		fmt.Fprintf(&b, "t%c : %q\nu%c = t%c + \"\"\n", 'a'+rune(i), text, 'a'+rune(i), 'a'+rune(i))
	}
	m, src := loadText(t, b.String())
	require.Empty(t, m.Problems())
	data, _, err := Write(m, src)
	require.NoError(t, err)
	requireNothing(t, returned(t, data, m, src))
	got := office(t, []officeJob{{In: bytesFile(t, data), Recalculate: true}})[0]
	for i, text := range texts {
		name := fmt.Sprintf("t%c", 'a'+rune(i))
		assert.Equal(t, officeCell{Kind: "text", Text: text}, got.After.named(t, name))
		assert.Equal(t, text, got.After.named(t, "u"+name[1:]).Text)
	}
}

// A builder's page may have the name of one of ours.
func TestPagesNamedAsOurs(t *testing.T) {
	m, src := loadText(t, "page Start here\n  a : 1 ?\npage Guesses\n  b = a + 1\npage As exported\n  c = b + 1\n")
	data, sum, err := Write(m, src)
	require.NoError(t, err)
	assert.Empty(t, sum.NotLive)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer f.Close()
	sheets := f.GetSheetList()
	for _, ours := range []string{startSheet, guessSheet, exportedSheet} {
		assert.Contains(t, sheets, ours)
	}
	assert.Len(t, sheets, 6)
	p := planOf(m)
	for name, formula := range map[string]string{"b": "a+1", "c": "b+1"} {
		at := p.spotNamed(name)
		got, err := f.GetCellFormula(at.page.sheet, xlsx.Address(at.row, at.col))
		require.NoError(t, err)
		assert.Contains(t, got, formula, name)
	}
}

// A workbook as another reader sees it: inputs open and tinted, all else locked without a password, ranges,
// lists, titles.
func TestWorkbookIsMadeForAMate(t *testing.T) {
	m, src := mates(t)
	data, sum, err := Write(m, src)
	require.NoError(t, err)
	assert.Equal(t, []string{"curve"}, sum.Adjusted, "shift is of first degree: it follows")
	assert.Empty(t, sum.NotLive)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer f.Close()
	assert.Equal(t, []string{startSheet, "Balance", "rack of rack", exportedSheet}, f.GetSheetList())
	visible, err := f.GetSheetVisible(exportedSheet)
	require.NoError(t, err)
	assert.False(t, visible)
	p := planOf(m)
	for _, s := range p.spots {
		if s.row == 0 {
			continue
		}
		id, err := f.GetCellStyle(s.page.sheet, s.local())
		require.NoError(t, err)
		style, err := f.GetStyle(id)
		require.NoError(t, err)
		open := s.input || s.stays()
		assert.Equal(t, open, style.Protection != nil && !style.Protection.Locked, s.called)
		assert.Equal(t, s.input, len(style.Fill.Color) == 1 && style.Fill.Color[0] == tintGiven, s.called)
		formula, err := f.GetCellFormula(s.page.sheet, s.local())
		require.NoError(t, err)
		assert.Equal(t, p.expr(s) != nil || s.crossing != nil, formula != "", s.called)
	}
	for _, sheet := range f.GetSheetList() {
		protection, err := f.GetSheetProtection(sheet)
		require.NoError(t, err)
		assert.Empty(t, protection.Password)
		assert.True(t, protection.SelectUnlockedCells)
	}
	panes, err := f.GetPanes("Balance")
	require.NoError(t, err)
	assert.True(t, panes.Freeze)
	layout, err := f.GetPageLayout("Balance")
	require.NoError(t, err)
	assert.Equal(t, 1, *layout.FitToWidth)
	rules := map[string]*excelize.DataValidation{}
	list, err := f.GetDataValidations("Balance")
	require.NoError(t, err)
	for _, dv := range list {
		rules[dv.Sqref] = dv
	}
	at := func(called string) *excelize.DataValidation { return rules[p.spotNamed(called).local()] }
	assert.Equal(
		t, [4]string{"decimal", "between", "-10000", "10000"},
		[4]string{at("span").Type, at("span").Operator, at("span").Formula1, at("span").Formula2},
	)
	assert.Equal(t, [2]string{"list", "rack_stock_stock"}, [2]string{at("stock").Type, at("stock").Formula1})
	assert.Equal(t, "list", at("fitted").Type)
	assert.Equal(t, "decimal", at(`parts["motor"].weighed`).Type)
	assert.Nil(t, at("pilot"), "any text will do")
	props, err := f.GetDocProps()
	require.NoError(t, err)
	assert.Equal(t, [2]string{"Reed Kettle 30", "Gusset"}, [2]string{props.Title, props.Creator})
	names := map[string]string{}
	for _, n := range f.GetDefinedName() {
		names[n.Name] = n.RefersTo
	}
	for _, s := range p.spots {
		if s.column == nil {
			assert.Equal(t, s.fixed(), names[s.name], s.called)
		}
	}
	assert.Equal(
		t, fmt.Sprintf("'Balance'!$A$%d:$F$%d", p.tableNamed("parts").top, p.tableNamed("parts").top+2),
		names["parts"],
	)
}

// The parts are what ISO/IEC 29500 says, as far as another implementation of it (openpyxl) checks them on reading.
func TestPartsAreWellFormed(t *testing.T) {
	t.Parallel()
	python := findPython(t, "openpyxl", "python3-openpyxl")
	args := []string{"-W", "error", "-c", `
import sys, openpyxl
for file in sys.argv[1:]:
    book = openpyxl.load_workbook(file)
    rules = sum(len(s.data_validations.dataValidation) for s in book)
    print(len(book.sheetnames), len(book.defined_names), rules)
`}
	for _, f := range samples(t) {
		args = append(args, bytesFile(t, f.book(t).data))
	}
	out := strings.NewReader(run(t, python, args...))
	for _, f := range samples(t) {
		var sheets, names, rules int
		_, err := fmt.Fscan(out, &sheets, &names, &rules)
		require.NoError(t, err)
		p := planOf(f.book(t).m)
		assert.Equal(t, len(p.pages)+2+min(1, len(p.guesses)), sheets, f.name)
		assert.Equal(t, len(p.defined), names, f.name)
		assert.Positive(t, rules, f.name)
	}
}

// What is beyond a spreadsheet is a value, and said; what is beyond reason is refused.
func TestWhatASpreadsheetCannotTake(t *testing.T) {
	t.Parallel()
	const sheet = "formula f(x) = 2 * x + x / 3\nn : 1\ndeep = f(f(f(f(f(f(f(f(f(f(f(f(n + 1))))))))))))\nnext = deep + 1\n"
	m, src := loadText(t, sheet)
	require.Empty(t, m.Problems())
	data, sum, err := Write(m, src)
	require.NoError(t, err)
	assert.Equal(t, []Remark{{"deep", "the formula would grow longer than a spreadsheet takes"}}, sum.NotLive)
	requireNothing(t, returned(t, data, m, src))
	got := office(t, []officeJob{{In: bytesFile(t, data), Loaded: true, Steps: []officeStep{setNumber("n", 2)}, Recalculate: true}})[0]
	agree(t, "as loaded", m, got.Loaded, 1e-15)
	v, err := m.Value("deep")
	require.NoError(t, err)
	assert.Equal(t, v.Number, got.After.named(t, "deep").Number, "it stays, as the first page says")
	all := ""
	for _, c := range got.After.sheet(t, startSheet) {
		all += c.Text + "\n"
	}
	assert.Contains(t, all, "deep\n")
	assert.Contains(t, all, "the formula would grow longer than a spreadsheet takes\n")
}

func columns(n int) string {
	var b strings.Builder
	for i := range n {
		fmt.Fprintf(&b, "  c%d = v + %d\n", i, i)
	}
	return b.String()
}

// Long texts and names are cut where a program would not take them, and nowhere else.
func TestLongTexts(t *testing.T) {
	t.Parallel()
	long := strings.Repeat("spruce and ", 60)
	longest := strings.Repeat("spruce and ", 23) // that a title and a page may have
	name := strings.Repeat("very_", 11) + "long"
	sheet := fmt.Sprintf(
		"sheet %q\npage %s\n%s : %q // %s\nsame = %s == %q\njoined = %s + %q\ntable %s_t\n  part | w\n  x | 3\n",
		longest, longest, name, long, long, name, long, name, long, name,
	)
	m, src := loadText(t, sheet)
	require.Empty(t, m.Problems())
	data, _, err := Write(m, src)
	require.NoError(t, err)
	requireNothing(t, returned(t, data, m, src))
	requireFits(t, data)
	agree(t, "long", m, office(t, []officeJob{{In: bytesFile(t, data), Recalculate: true}})[0].After, 1e-15)
}

// What is long in a table is wrapped and its row made higher; numbers beyond all measure are shown by their
// powers of ten.
func TestLongThingsAreShownWhole(t *testing.T) {
	const long = "first of the two ribs with a very long name that goes on"
	m, src := loadText(
		t,
		"big : 123456789012\nmetric [in] : 120 mm\nprice [GBP] : 3\nsquare = big * big\nsmall = 1 / square\ntable t\n  part | w [oz] | kind\n  "+long+" | 1 | \""+long+"\" // "+strings.Repeat(long, 3)+"\n  b | 2 | \"c\"\ntable none\n  part | w [oz]\ntable in_line\n  x from 1 to 9 step 4\n  a = x * 2.25\n  b = x / 3 + 10\n  c = x * x\n",
	)
	require.Empty(t, m.Problems())
	data, _, err := Write(m, src)
	require.NoError(t, err)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer f.Close()
	p := planOf(m)
	look := func(row, col int) *excelize.Style {
		id, err := f.GetCellStyle(p.pages[0].sheet, xlsx.Address(row, col))
		require.NoError(t, err)
		st, err := f.GetStyle(id)
		require.NoError(t, err)
		return st
	}
	for _, name := range []string{"square", "small"} {
		s := p.spotNamed(name)
		assert.Equal(t, "0.000E+00", *look(s.row, s.col).CustomNumFmt, name)
	}
	s := p.spotNamed("metric")
	assert.Equal(t, `0.000" in"`, *look(s.row, s.col).CustomNumFmt)
	s = p.spotNamed("price")
	unit, err := f.GetCellValue(p.pages[0].sheet, xlsx.Address(s.row, unitColumn))
	require.NoError(t, err)
	assert.Equal(t, "GBP", unit)
	table := p.tableNamed("t")
	height, err := f.GetRowHeight(p.pages[0].sheet, table.top)
	require.NoError(t, err)
	assert.GreaterOrEqual(t, height, 3*lineHeight)
	for _, col := range []int{1, 3, 4} { // the row's name, a text, the note
		assert.True(t, look(table.top, col).Alignment.WrapText, col)
	}
	for _, row := range []int{table.head, table.top} { // apart from the number on its left
		assert.Equal(t, 1, look(row, 3).Alignment.Indent)
	}
	assert.Equal(t, "right", look(table.head, 2).Alignment.Horizontal)
	for i, want := range []string{"0.00", "0.00", ""} { // in line; in line; whole numbers
		if got := look(p.tableNamed("in_line").top+1, i+2).CustomNumFmt; want != "" {
			assert.Equal(t, want, *got)
		} else {
			assert.Nil(t, got)
		}
	}
	assert.NotEqual(t, "right", look(p.tableNamed("none").head, 1).Alignment.Horizontal, "names of rows stand on the left")
}

// What a program does by itself when it opens, shows and prints a workbook.
func TestWorkbookLooksAfterItself(t *testing.T) {
	m, src := loadText(
		t,
		"sheet \"Sand & Foam\"\npage Ribs\n  long [in] : 3\n  rib [in, 1/8] = long / 4\n  cap [in, 1/8] = long / 8\n",
	)
	data, _, err := Write(m, src)
	require.NoError(t, err)
	f, err := excelize.OpenReader(bytes.NewReader(data))
	require.NoError(t, err)
	defer f.Close()
	calc, err := f.GetCalcProps()
	require.NoError(t, err)
	require.NotNil(t, calc.FullCalcOnLoad)
	assert.True(t, *calc.FullCalcOnLoad, "all is worked out anew on opening")
	footer, err := f.GetHeaderFooter("Ribs")
	require.NoError(t, err)
	assert.Equal(t, "&LSand && Foam&C&A&R&P / &N", footer.OddFooter)
	assert.Contains(t, f.GetDefinedName(), excelize.DefinedName{
		Name: "_xlnm.Print_Titles", RefersTo: "'Ribs'!$3:$3", Scope: "Ribs",
	})
	rules, err := f.GetConditionalFormats("Ribs")
	require.NoError(t, err)
	var halves []string
	for area, list := range rules {
		for _, rule := range list {
			if strings.HasPrefix(rule.Criteria, "MOD(") {
				halves = append(halves, area+" "+rule.Criteria+" "+f.Styles.Dxfs.Dxfs[*rule.Format].NumFmt.FormatCode)
			}
		}
	}
	assert.ElementsMatch(
		t, []string{`B5:B6 MOD(ROUND(B5*8,0),4)=0 # ?/2" in"`, `B5:B6 MOD(ROUND(B5*8,0),2)=0 # ?/4" in"`},
		halves,
	)
}

// A sheet with mistakes in its text has no formulas to rely on.
func TestMistakesMakeNoWorkbook(t *testing.T) {
	for _, sheet := range []string{"a : 1\nb = c\n", "a [in] : 1\nb [oz] = a\n", "a = a + 1\n", "a [inn] : 3\n"} {
		m, src := loadText(t, sheet)
		require.NotEmpty(t, m.Mistakes())
		_, _, err := Write(m, src)
		require.ErrorContains(t, err, "there are mistakes in the sheet", sheet)
	}
	m, src := loadText(t, "a : 0\nb = 1 / a\n")
	require.Empty(t, m.Mistakes(), "it only fails for that value")
	require.NotEmpty(t, m.Problems())
	_, _, err := Write(m, src)
	require.NoError(t, err)
}

// A number stands for one number format only, in cells and in conditions (ISO/IEC 29500-1, section 18.8.30).
func TestFormatNumbersAreUnique(t *testing.T) {
	t.Parallel()
	for _, f := range samples(t) {
		data := f.book(t).data
		z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
		require.NoError(t, err)
		part, err := z.Open("xl/styles.xml")
		require.NoError(t, err)
		styles, err := io.ReadAll(part)
		require.NoError(t, err)
		codes := map[string]string{}
		for _, found := range regexp.MustCompile(`numFmtId="(\d+)" formatCode="([^"]*)"`).FindAllStringSubmatch(
			string(styles), -1,
		) {
			if first, taken := codes[found[1]]; taken {
				assert.Equal(t, first, found[2], "%s: number %s", f.name, found[1])
			}
			codes[found[1]] = found[2]
		}
		assert.NotEmpty(t, codes)
	}
}

// A workbook says which program wrote it, so that no other is taken for it.
func TestWorkbookNamesItsProgram(t *testing.T) {
	m, src := loadText(t, "a [in] : 3\nb [in] = 2 * a\n")
	data, _, err := Write(m, src)
	require.NoError(t, err)
	z, err := zip.NewReader(bytes.NewReader(data), int64(len(data)))
	require.NoError(t, err)
	part, err := z.Open("xl/workbook.xml")
	require.NoError(t, err)
	var book struct {
		Version struct {
			App string `xml:"appName,attr"`
		} `xml:"fileVersion"`
	}
	require.NoError(t, xml.NewDecoder(part).Decode(&book))
	assert.Equal(t, "Gusset", book.Version.App)
}

// A number format rounds to decimals, and to the marks of a ruler (ISO/IEC 29500-1, section 18.8.31). To other steps
// none does: the cell then shows the value down to the step's last decimal, and its unit says to what it is meant.
func TestStepsThatNoFormatRounds(t *testing.T) {
	m, src := loadText(t, `page P
a [mm, 0.5] = 59.7 [mm] * 1
b [g, 5] = 62.4 [g] * 1
c [rpm, 10] : 5943
d [mm, 0.1] = 59.76 [mm] * 1
e [in, 1/16] = 3.3 [in] * 1
f [1, 0.25] = 3.3 * 1
g [1, 1] : 3
h [mm, 0.05] : 1.2
i [kg, 0.001] : 1.2
table t
  row | v [mm, 0.5] | u [g, 0.1]
  x | 1.7 | 2
`)
	b, err := build(m, src)
	require.NoError(t, err)
	p := b.grids["P"]
	for name, want := range map[string][2]string{
		"a": {"0.0", "millimetre, to 0.5"}, "b": {"0", "gram, to 5"}, "c": {"0", "revolution per minute, to 10"},
		"d": {"0.0", "millimetre"}, "e": {"# ??/16", "inch"}, "f": {"0.00", "to 0.25"}, "g": {"0", ""},
		"h": {"0.00", "millimetre, to 0.05"}, "i": {"0.000", "kilogram"},
	} {
		s := b.plan.spotNamed(name)
		assert.Equal(t, want, [2]string{plainFormat(s), p.at(s.row, unitColumn).text}, name)
	}
	head := b.plan.tableNamed("t").head + 1
	assert.Equal(t, []string{"mm, to 0.5", "g"}, []string{p.at(head, 2).text, p.at(head, 3).text})
}

// A page is printed upright on A4 without the column of sources, or on Letter where more of the sheet's own lengths are in
// inches and feet; it lies where a table is wide. A metric sheet is told nothing of inches, and no other numbers of the
// advice on the first page are meant then.
func TestPrint(t *testing.T) {
	wide := "  row" + strings.Repeat(" | c%d", 14)
	var names []any
	for i := range 14 {
		names = append(names, i)
	}
	table := "table t\n" + fmt.Sprintf(wide, names...) + " // n\n  x" + strings.Repeat(" | 1", 14) + "\n"
	for _, tt := range []struct {
		sheet       string
		size        int
		orientation string
		area        string
		inches      bool
		see         string
	}{
		{"page P\na [mm] : 3\nb [mm] = a\ndiameter [in] : 9.5\n", 9, "portrait", "'P'!$A$1:$K$6", true, "see 4"},
		{"page P\na [mm] : 3\nb [mm] = a\ndiameter [in] = 2 * a\n", 9, "portrait", "'P'!$A$1:$K$6", false, "see 3"},
		{"page P\na [in] : 3\nb [ft in] : 4 ft\nc [mm] : 2\n", 1, "portrait", "'P'!$A$1:$K$6", true, "see 4"},
		{"use \"u.gusset\" as u\npage P\na [mm] : 3\nb [mm] = u.c + a\n", 9, "portrait", "'P'!$A$1:$K$5", true, "see 4"},
		{"page P\na : 3\n" + table, 9, "landscape", "'P'!$A$1:$O$10", false, "see 3"},
	} {
		m, err := engine.Load(engine.Sources{
			Files: mapFiles("model.gusset", tt.sheet, "u.gusset", "c [in] : 1\nd [in] : 2\ne [in] : 3\n"), Library: library.Pages(),
		}, "model.gusset")
		require.NoError(t, err)
		require.NoError(t, m.Mistakes().Err())
		f, err := excelize.OpenReader(bytes.NewReader(quickly(t, m, Source{File: "model.gusset", Text: []byte(tt.sheet)})))
		require.NoError(t, err)
		layout, err := f.GetPageLayout("P")
		require.NoError(t, err)
		assert.Equal(t, tt.size, *layout.Size, tt.sheet)
		assert.Equal(t, tt.orientation, *layout.Orientation, tt.sheet)
		assert.Contains(t, f.GetDefinedName(), excelize.DefinedName{
			Name: "_xlnm.Print_Area", RefersTo: tt.area, Scope: "P",
		})
		rows, err := f.GetRows(startSheet)
		require.NoError(t, err)
		said := fmt.Sprint(rows)
		assert.Equal(t, tt.inches, strings.Contains(said, "inch"), tt.sheet)
		assert.Contains(t, said, "searched for by Gusset; "+tt.see)
		require.NoError(t, f.Close())
	}
}
