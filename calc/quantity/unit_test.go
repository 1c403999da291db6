package quantity

import (
	"math/big"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"
	"pgregory.net/rapid"
)

// Factors of NIST Special Publication 811, appendix B.8 (from memory), to the
// digits printed there; exact ones are marked in bold there.
func TestUnitsAgainstNIST(t *testing.T) {
	for _, c := range []struct {
		value, unit, in string
		want            string // value in the second unit
		decimals        int    // digits that the source prints
		source          string
	}{
		{"1", "in", "m", "0.0254", 4, "inch, exact"},
		{"1", "thou", "m", "0.0000254", 7, "mil (0.001 in), exact"},
		{"1", "uin", "um", "0.0254", 4, "microinch, exact"},
		{"1", "lbf", "N", "4.4482216152605", 13, "pound-force, exact (note 23)"},
		{"1", "ozf", "N", "0.2780139", 7, "ounce-force 2.780139 E-01"},
		{"1", "lbf/in²", "N/mm²", "0.006894757", 9, "psi 6.894757 E+03 Pa"},
		{"1", "lbf/in", "N/mm", "0.1751268", 7, "pound-force per inch 1.751268 E+02 N/m"},
		{"1", "in²", "mm²", "645.16", 2, "square inch, exact"},
		{"1", "in³", "cm³", "16.387064", 6, "cubic inch, exact"},
		{"1", "in/s", "m/s", "0.0254", 4, "inch per second, exact"},
		{"1", "dF", "K", "0.555556", 6, "degree Fahrenheit interval 5.555556 E-01"},
		{"98.6", "F", "C", "37", 6, "t(C) = (t(F) - 32)/1.8, exact"},
		{"-40", "F", "C", "-40", 6, "t(C) = (t(F) - 32)/1.8, exact"},
		{"68", "F", "C", "20", 6, "reference temperature 20 C, ISO 1"},
		{"1", "days", "s", "86400", 0, "day, exact"},
		{"1", "h", "min", "60", 0, "hour, exact"},
		{"1", "arcmin", "deg", "0.01666667", 8, "minute of angle"},
		{"1", "%", "ppm", "10000", 0, "definition"},
	} {
		t.Run(c.unit+" in "+c.in, func(t *testing.T) {
			q := New(exact(t, c.value), unit(t, c.unit))
			got, err := q.In(unit(t, c.in))
			require.NoError(t, err, c.source)
			assert.Zero(t, exact(t, c.want).Cmp(exact(t, fixed(got, c.decimals))), "%s: got %s", c.source, fixed(got, c.decimals))
		})
	}
}

func TestEverySpellingIsFoundAndShownAsOne(t *testing.T) {
	for _, row := range unitRows {
		require.False(t, row.unit.IsZero(), row.unit.is().name)
		for _, n := range row.names {
			u, ok := LookupUnit(n)
			require.True(t, ok, n)
			assert.True(t, u.Same(row.unit), n)
			assert.Equal(t, row.names[0], u.Name())
		}
	}
}

func TestCombinedUnits(t *testing.T) {
	for _, c := range []struct{ text, shown, dim string }{
		{"in*lbf", "in·lbf", "length·force"},
		{"N/mm^2", "N/mm²", "force/area"},
		{"1/K", "1/K", "1/temperature difference"},
		{"/F", "1/dF", "1/temperature difference"},
		{"um/m/C", "um/m/dC", "1/temperature difference"},
		{"tenths/part", "tenths/parts", "length"},
		{"mm^4", "mm^4", "length^4"},
		{"mm³/min", "mm³/min", "volume/time"},
	} {
		u, ok := LookupUnit(c.text)
		require.True(t, ok, c.text)
		assert.Equal(t, c.shown, u.Name())
		assert.Equal(t, c.dim, u.Dim().String())
		again, ok := LookupUnit(u.Name())
		require.True(t, ok, u.Name())
		assert.True(t, again.Same(u))
		assert.False(t, u.Point())
	}
	for _, bad := range []string{"", "/", "1/", "in/", "in//s", "in^", "in^0", "in^1", "in^10", "^2", "in*", "foo/s", "in/foo", "in^2^2", "·"} {
		_, ok := LookupUnit(bad)
		assert.False(t, ok, bad)
	}
}

func TestBaseUnitNamesReadBack(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		var d Dim
		for i := range d {
			d[i] = int8(rapid.IntRange(-4, 4).Draw(t, "exponent"))
		}
		for _, s := range []system{metric, inch} {
			u := baseUnit(d, s)
			if d == Number {
				continue
			}
			again, ok := LookupUnit(u.Name())
			require.True(t, ok, u.Name())
			assert.True(t, again.Same(u), u.Name())
		}
	})
}

func TestDim(t *testing.T) {
	for _, c := range []struct {
		dim  Dim
		want string
	}{
		{Number, "plain number"},
		{Length, "length"},
		{Length.Times(Length), "area"},
		{Length.Times(Length).Times(Length), "volume"},
		{Length.Over(TemperatureDifference), "length/temperature difference"},
		{Number.Over(Length), "1/length"},
		{Force.Times(Length), "length·force"},
		{Angle.Over(Length).Over(Time), "angle/length/time"},
	} {
		assert.Equal(t, c.want, c.dim.String())
	}
	d := Length
	for range 10 {
		d = d.Times(d)
	}
	assert.Equal(t, Dim{127}, d, "exponents stop and do not wrap")
	assert.Equal(t, Dim{-127}, Number.Over(d))
}

func TestZeroUnitAndOne(t *testing.T) {
	assert.True(t, Unit{}.IsZero())
	assert.False(t, One.IsZero())
	assert.True(t, Unit{}.Same(Unit{}))
	assert.False(t, Unit{}.Same(One))
	assert.False(t, unit(t, "F").Same(unit(t, "dF")))
	assert.False(t, unit(t, "C").Same(unit(t, "K")))
	assert.True(t, unit(t, "dC").Same(unit(t, "K")))
	assert.Equal(t, "4", New(big.NewRat(4, 1), Unit{}).String())
}

func TestSquareRootUnit(t *testing.T) {
	for square, root := range map[string]string{"in²": "in", "mm²": "mm", "cm²": "mm", "lbf²/in²": "lbf/in", "%": "", "1/in²": "1/in"} {
		u, ok := unit(t, square).SquareRoot()
		require.True(t, ok, square)
		assert.Equal(t, root, u.Name())
	}
	for _, bad := range []string{"in", "mm³", "F", "N·mm"} {
		_, ok := unit(t, bad).SquareRoot()
		assert.False(t, ok, bad)
	}
	_, ok := Unit{}.SquareRoot()
	assert.False(t, ok)
	assert.Equal(t, "N/mm²", BaseUnit(Force.Over(Length).Over(Length)).Name())
}

func TestSystem(t *testing.T) {
	for name, want := range map[string]string{
		"in": "inch", "thou": "inch", "tenths": "inch", "uin": "inch", "lbf": "inch", "in/min": "inch",
		"mm": "metric", "um": "metric", "cm": "metric", "N/mm²": "metric",
		"deg": "", "F": "", "s": "", "%": "", "parts": "",
	} {
		assert.Equal(t, want, unit(t, name).System(), name)
	}
	assert.Empty(t, Unit{}.System())
}
