package capture

import (
	"slices"
	"strings"

	"tenths/ledger"
)

// place is what is measured.
type place struct {
	path  string // of the characteristic, from the id of its part
	short string // its own id
	rec   *ledger.Record
	char  ledger.Characteristic // as of the day
	point string                // the point that the path went down to
}

// places lists what can be measured: the characteristics of the parts, each in
// the revision that counts, and the features with a size.
func (c *clerk) places() []place {
	var out []place
	for _, rec := range c.l.Records {
		p, ok := rec.Data.(*ledger.Part)
		if !ok || c.l.Record(rec.ID()) != rec {
			continue
		}
		for _, ch := range p.Characteristic {
			if ch.ID.S != "" {
				out = append(out, place{path: rec.ID() + "/" + ch.ID.S, short: ch.ID.S, rec: rec, char: ledger.OnDay(ch, c.ask.On)})
			}
		}
		for _, f := range p.Features {
			if now := ledger.OnDay(f, c.ask.On); now.ID.S != "" && now.Size.Set() {
				out = append(out, place{path: rec.ID() + "/" + f.ID.S, short: rec.ID() + "/" + f.ID.S, rec: rec,
					char: ledger.Characteristic{ID: now.ID, Title: now.Title, Limits: now.Size, Type: ledger.Text{S: "size"}}})
			}
		}
	}
	return out
}

// find looks a path up: the id of a characteristic, with or without its part, and
// with or without a point. Of several that the id alone may mean it is the one
// that was measured last.
func (c *clerk) find(typed string) (*place, string, *trouble) {
	all := c.places()
	base, point := strings.Trim(typed, "/"), ""
	hits := named(all, base)
	if hits == nil {
		if i := strings.LastIndex(base, "/"); i > 0 {
			base, point = base[:i], base[i+1:]
			hits = named(all, base)
		}
	}
	if hits == nil {
		var names []string
		for _, p := range all {
			names = append(names, p.path)
		}
		for _, p := range all {
			names = append(names, p.short)
		}
		t := because("nothing that is measured is called %s", ledger.Printable(typed))
		t.near = ledger.Nearest(typed, names, 1+max(1, len(typed)/2))
		for _, p := range named(all, t.near) {
			t.near = p.path
			break
		}
		return nil, "", t
	}
	hit, remark := hits[0], ""
	if len(hits) > 1 {
		var paths []string
		for _, h := range hits {
			paths = append(paths, h.path)
		}
		_, in := c.last(func(in *ledger.Inspection) bool { return slices.Contains(paths, in.Characteristic.S) })
		if in == nil {
			t := because("%s may be %s", ledger.Printable(typed), strings.Join(paths, " or "))
			t.near = paths[0]
			return nil, "", t
		}
		hit = hits[slices.Index(paths, in.Characteristic.S)]
		others := slices.DeleteFunc(paths, func(p string) bool { return p == hit.path })
		remark = base + " is also " + strings.Join(others, " and ") + "; taken as " + hit.path + ", measured last"
	}
	if point != "" {
		if hit.point = pointNamed(hit.char, point); hit.point == "" {
			t := because("%s has no point %s", hit.path, ledger.Printable(point))
			if near := ledger.Nearest(point, pointsOf(hit.char), 1+len(point)/2); near != "" {
				t.near = hit.path + "/" + near
			}
			return nil, "", t
		}
	}
	return &hit, remark, nil
}

// named gives the places that a text names, in whatever case; a spelling that is
// exact comes before all others.
func named(all []place, text string) []place {
	for _, same := range []func(a, b string) bool{func(a, b string) bool { return a == b }, strings.EqualFold} {
		var out []place
		for _, p := range all {
			if same(p.path, text) || same(p.short, text) {
				out = append(out, p)
			}
		}
		if out != nil {
			return out
		}
	}
	return nil
}

func pointsOf(ch ledger.Characteristic) []string {
	var out []string
	for _, p := range ch.Points {
		out = append(out, p.ID.S)
	}
	return out
}

// pointNamed gives the point as the characteristic spells it; "" if it has none.
func pointNamed(ch ledger.Characteristic, text string) string {
	for _, id := range pointsOf(ch) {
		if strings.EqualFold(id, text) {
			return id
		}
	}
	return ""
}
