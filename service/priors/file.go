package priors

import (
	"errors"
	"fmt"
	"maps"
	"math"
	"slices"
	"strings"

	"snugtail/joint/belief"
	"snugtail/service/codes"
)

// file is a file of priors. Shares, probabilities and weights are 0 to 1, sizes
// mm (angles degrees), times minutes.
type file struct {
	Share           map[string]float64            `json:"share,omitempty"`
	Sizes           map[string][]lump             `json:"sizes,omitempty"`
	Misread         map[string]misread            `json:"misread,omitempty"`
	Usually         map[string]float64            `json:"usually,omitempty"`
	Shows           map[string]map[string]float64 `json:"shows,omitempty"`
	Minutes         map[string]float64            `json:"minutes,omitempty"`
	Reground        *float64                      `json:"reground,omitempty"`
	Careful         *float64                      `json:"careful,omitempty"`
	Misfelt         *float64                      `json:"misfelt,omitempty"`
	OddCut          *float64                      `json:"odd_cut,omitempty"`
	MisnotedFinding *float64                      `json:"misnoted_finding,omitempty"`
	AskedIfRight    *float64                      `json:"asked_if_right,omitempty"`
	SilentIfWrong   *float64                      `json:"silent_if_wrong,omitempty"`
	Scatter         *scatter                      `json:"scatter,omitempty"`
}

type (
	lump struct {
		Weight float64 `json:"weight"`
		Mean   float64 `json:"mean"`
		SD     float64 `json:"sd"`
	}
	misread struct {
		Chance float64 `json:"chance"`
		By     float64 `json:"by"`
	}
	scatter struct {
		Chance float64 `json:"chance"`
		Times  float64 `json:"times"`
	}
)

const testJoint = "test_joint" // among minutes

// wrongs gathers what is wrong with a file.
type wrongs []error

func (w *wrongs) add(where, format string, args ...any) {
	*w = append(*w, fmt.Errorf("%s: "+format, append([]any{where}, args...)...))
}

// within checks a number of a file.
func (w *wrongs) within(where string, x, least, most float64) {
	if !(x >= least && x <= most) {
		w.add(where, "%v is not within %v and %v", x, least, most)
	}
}

// find returns the index of a name; -1, and a complaint, where nothing is called that.
func (w *wrongs) find(where string, names []string, name string) int {
	i := slices.Index(names, name)
	if i < 0 || name == "" {
		w.add(where, "nothing is called %q; known are %s", name, strings.Join(known(names), ", "))
		return -1
	}
	return i
}

func known(names []string) []string {
	sorted := slices.Sorted(slices.Values(names))
	return slices.DeleteFunc(sorted, func(name string) bool { return name == "" })
}

// applyTo replaces what the file names, and returns everything that is wrong.
func (f *file) applyTo(p *belief.Priors) error {
	var w wrongs
	f.applyShares(p, &w)
	f.applySizes(p, &w)
	f.applyMisread(p, &w)
	f.applySigns(p, &w)
	f.applyMinutes(p, &w)
	f.applyNumbers(p, &w)
	return errors.Join(w...)
}

func (f *file) applyShares(p *belief.Priors, w *wrongs) {
	for name, share := range sorted(f.Share) {
		w.within("share/"+name, share, 0, 0.9)
		switch i := w.find("share", codes.Causes[:], name); {
		case i == int(belief.CauseSetUpRight):
			w.add("share/"+name, "has no share of its own: it gets what the others leave")
		case i >= 0:
			p.Share[i] = share
		}
	}
	sum := 0.0
	for _, share := range p.Share {
		sum += share
	}
	if sum > 0.95 {
		w.add("share", "the shares, those left as they are included, sum to %.3f; at most 0.95 leaves room for a set-up that is right", sum)
	}
}

func (f *file) applySizes(p *belief.Priors, w *wrongs) {
	for name, lumps := range sorted(f.Sizes) {
		where := "sizes/" + name
		i := w.find("sizes", sizeNames[:], name)
		if len(lumps) == 0 || len(lumps) > 8 {
			w.add(where, "has %d parts, not 1 to 8", len(lumps))
		}
		list, sum := make([]belief.Lump, 0, len(lumps)), 0.0
		for _, l := range lumps {
			w.within(where+"/weight", l.Weight, 0, 1)
			w.within(where+"/mean", l.Mean, -30, 30)
			w.within(where+"/sd", l.SD, 0.01, 30)
			sum += l.Weight
			list = append(list, belief.Lump(l))
		}
		if math.Abs(sum-1) > 1e-6 {
			w.add(where, "the weights sum to %v, not 1", sum)
		}
		if i >= 0 {
			p.Sizes[i] = list
		}
	}
}

func (f *file) applyMisread(p *belief.Priors, w *wrongs) {
	for name, m := range sorted(f.Misread) {
		w.within("misread/"+name+"/chance", m.Chance, 0.001, 0.5)
		w.within("misread/"+name+"/by", m.By, 0.01, 30)
		if i := w.find("misread", readingNames[:], name); i >= 0 {
			p.Misread[i] = belief.Misread(m)
		}
	}
}

// applySigns replaces how often findings are a yes. What a finding shows in is
// one table, replaced as a whole.
func (f *file) applySigns(p *belief.Priors, w *wrongs) {
	for name, chance := range sorted(f.Usually) {
		w.within("usually/"+name, chance, 0, 1)
		if i := w.find("usually", codes.Findings[:], name); i >= 0 {
			p.Usually[i] = chance
		}
	}
	for name, shows := range sorted(f.Shows) {
		i := w.find("shows", codes.Findings[:], name)
		table := map[belief.Code]float64{}
		for cause, chance := range sorted(shows) {
			w.within("shows/"+name+"/"+cause, chance, 0, 1)
			if c := w.find("shows/"+name, codes.Causes[:], cause); c >= 0 {
				table[belief.Code(c)] = chance
			}
		}
		if i >= 0 {
			p.Shows[i] = table
		}
	}
}

func (f *file) applyMinutes(p *belief.Priors, w *wrongs) {
	for name, minutes := range sorted(f.Minutes) {
		w.within("minutes/"+name, minutes, 0.1, 240)
		if name == testJoint {
			p.Joint = minutes
		} else if i := w.find("minutes", codes.Checks[:], name); i >= 0 {
			p.Minutes[i] = minutes
		}
	}
}

func (f *file) applyNumbers(p *belief.Priors, w *wrongs) {
	for _, n := range []struct {
		name        string
		from        *float64
		to          *float64
		least, most float64
	}{
		{"reground", f.Reground, &p.Reground, 0, 0.9},
		{"careful", f.Careful, &p.Careful, 0.01, 1},
		{"misfelt", f.Misfelt, &p.Misfelt, 0.001, 0.5},
		{"odd_cut", f.OddCut, &p.Odd, 0.001, 0.5},
		{"misnoted_finding", f.MisnotedFinding, &p.MisnotedFinding, 0.001, 0.49},
		{"asked_if_right", f.AskedIfRight, &p.AskedIfRight, 0.001, 1},
		{"silent_if_wrong", f.SilentIfWrong, &p.SilentIfWrong, 0.001, 1},
	} {
		if n.from != nil {
			w.within(n.name, *n.from, n.least, n.most)
			*n.to = *n.from
		}
	}
	if f.Scatter != nil {
		w.within("scatter/chance", f.Scatter.Chance, 0, 0.9)
		w.within("scatter/times", f.Scatter.Times, 1, 10)
		p.Scatter, p.ScatterBy = f.Scatter.Chance, f.Scatter.Times
	}
}

// sorted walks a map by its names, so that complaints keep their order.
func sorted[V any](m map[string]V) func(func(string, V) bool) {
	return func(yield func(string, V) bool) {
		for _, name := range slices.Sorted(maps.Keys(m)) {
			if !yield(name, m[name]) {
				return
			}
		}
	}
}

// fileOf is the file that holds all of p.
func fileOf(p *belief.Priors) *file {
	f := &file{
		Share: named(codes.Causes[:], p.Share[:]), Usually: named(codes.Findings[:], p.Usually[:]),
		Minutes: named(codes.Checks[:], p.Minutes[:]), Sizes: map[string][]lump{}, Misread: map[string]misread{},
		Shows: map[string]map[string]float64{}, Reground: &p.Reground, Careful: &p.Careful, Misfelt: &p.Misfelt,
		OddCut: &p.Odd, MisnotedFinding: &p.MisnotedFinding, AskedIfRight: &p.AskedIfRight, SilentIfWrong: &p.SilentIfWrong,
		Scatter: &scatter{p.Scatter, p.ScatterBy},
	}
	delete(f.Share, codes.Causes[belief.CauseSetUpRight])
	f.Minutes[testJoint] = p.Joint
	for i, lumps := range p.Sizes {
		for _, l := range lumps {
			f.Sizes[sizeNames[i]] = append(f.Sizes[sizeNames[i]], lump(l))
		}
	}
	for i, m := range p.Misread {
		f.Misread[readingNames[i]] = misread(m)
	}
	for i, shows := range p.Shows {
		table := map[string]float64{}
		for cause, chance := range shows {
			table[codes.Causes[cause]] = chance
		}
		f.Shows[codes.Findings[i]] = table
	}
	return f
}

func named(names []string, values []float64) map[string]float64 {
	m := make(map[string]float64, len(names))
	for i, name := range names {
		m[name] = values[i]
	}
	return m
}
