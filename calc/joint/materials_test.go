package joint

import (
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"tenths/calc/internal/testkit"
)

func TestMaterials(t *testing.T) {
	all, err := Materials()
	require.NoError(t, err)
	assert.Equal(t, 22, len(all))
	for _, m := range all {
		assert.NotEmpty(t, m.Expansion, m.Name)
		for _, v := range m.Expansion {
			assert.InDelta(t, 15, 1e6*v.Low.Float(), 14.5, "%s: ppm/K", m.Name)
		}
		for _, v := range m.Modulus {
			assert.InDelta(t, 350000, v.Low.Float(), 300000, "%s: N/mm²", m.Name)
		}
		for _, v := range m.Poisson {
			assert.InDelta(t, 0.3, v.Low.Float(), 0.1, m.Name)
		}
	}
}

// Values as printed in the sources named in data/README.md; where two disagree
// both come back and the range says so.
func TestRangeShowsWhereSourcesDiffer(t *testing.T) {
	for _, c := range []struct {
		material, property string
		low, high          string
		differ             bool
		standing           Standing
	}{
		{"carbon steel 1020", "expansion", "11.7 ppm/K", "11.7 ppm/K", false, Seen},
		{"carbon steel 1020", "modulus", "207000 N/mm²", "207000 N/mm²", false, Seen},
		{"304", "poisson", "0.27", "0.305", true, Seen},
		{"304", "expansion", "17 ppm/K", "17.2 ppm/K", true, Seen},
		{"440C", "modulus", "200000 N/mm²", "210000 N/mm²", true, Seen},
		{"O1 tool steel", "expansion", "10.6 ppm/K", "12 ppm/K", true, Seen},
		{"6061", "poisson", "0.33", "0.35", true, Seen},
		{"Ti-6Al-4V", "expansion", "8.6 ppm/K", "9.5 ppm/K", true, Seen},
		{"4140", "poisson", "0.29", "0.29", false, FromMemory},
		{"steel", "expansion", "11.7 ppm/K", "11.7 ppm/K", false, CommonPractice},
		{"granite", "expansion", "6 ppm/K", "8 ppm/K", true, FromMemory},
	} {
		m, err := FindMaterial(" " + c.material)
		require.NoError(t, err)
		values := map[string][]Value{"expansion": m.Expansion, "modulus": m.Modulus, "poisson": m.Poisson}[c.property]
		low, high, differ, standing := Range(values)
		assert.Zero(t, low.Rat().Cmp(testkit.Q(t, c.low).Rat()), "%s %s: %s", c.material, c.property, low)
		assert.Zero(t, high.Rat().Cmp(testkit.Q(t, c.high).Rat()), "%s %s: %s", c.material, c.property, high)
		assert.Equal(t, c.differ, differ, "%s %s", c.material, c.property)
		assert.Equal(t, c.standing, standing)
	}
	low, high, differ, standing := Range(nil)
	assert.True(t, low.IsZeroValue() && high.IsZeroValue() && !differ && standing == "")
	_, err := FindMaterial("unobtainium")
	assert.ErrorContains(t, err, `no values for material "unobtainium"; type one of carbon steel 1020, carbon steel 1040`)
	m, err := FindMaterial("INVAR")
	require.NoError(t, err)
	assert.Equal(t, "invar", m.Name)
}

func TestFrictionsContradict(t *testing.T) {
	all, err := Frictions()
	require.NoError(t, err)
	var brass []Value
	for _, f := range all {
		assert.InDelta(t, 0.15, f.Value.Low.Float(), 0.11, f.Joint)
		if f.Joint == "steel on brass or bronze, dry" {
			brass = append(brass, f.Value)
		}
	}
	require.Len(t, brass, 2)
	assert.Negative(t, brass[1].High.Rat().Cmp(brass[0].Low.Rat()), "the two sources do not even overlap")
}
