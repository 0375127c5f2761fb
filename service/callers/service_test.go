package callers_test

import (
	"bytes"
	"encoding/json"
	"fmt"
	"math"
	"math/rand/v2"
	"net/http"
	"net/http/httptest"
	"regexp"
	"slices"
	"sort"
	"strconv"
	"strings"
	"testing"
	"time"

	"github.com/stretchr/testify/require"

	"snugtail/service"
	"snugtail/service/gate"
)

// served is the service behind its HTTP handler.
type served struct {
	handler http.Handler
	names   *contractNames
	refused counter
}

// contractNames is what the contract offers today: the simulation uses no more.
type contractNames struct {
	request                         map[string]map[string]bool // members of each operation's request
	along                           map[string]bool            // whether its test cuts take it
	findings, checks, causes        map[string]bool
	decision                        bool // answers say what to do
	bushingLabelled, cutterLabelled bool
}

const (
	corrections = "/v1/corrections"
	diagnoses   = "/v1/diagnoses"
)

func newServed(t testing.TB) *served {
	s, err := service.New(service.Config{Limits: gate.Limits{QueueWait: time.Minute}}) // patience is no matter of advice
	require.NoError(t, err)
	out := &served{handler: s.Handler()}
	w := httptest.NewRecorder()
	out.handler.ServeHTTP(w, httptest.NewRequest(http.MethodGet, "/openapi.json", nil))
	require.Equal(t, http.StatusOK, w.Code)
	out.names = readContract(t, w.Body.Bytes())
	return out
}

func readContract(t testing.TB, document []byte) *contractNames {
	var doc struct {
		Components struct {
			Schemas map[string]struct {
				Properties map[string]any `json:"properties"`
				Enum       []string       `json:"enum"`
			} `json:"schemas"`
		} `json:"components"`
	}
	require.NoError(t, json.Unmarshal(document, &doc))
	members := func(schema string) map[string]bool {
		out := map[string]bool{}
		for name := range doc.Components.Schemas[schema].Properties {
			out[name] = true
		}
		return out
	}
	codes := func(schema string) map[string]bool {
		out := map[string]bool{}
		for _, code := range doc.Components.Schemas[schema].Enum {
			out[code] = true
		}
		return out
	}
	k := &contractNames{
		request:         map[string]map[string]bool{corrections: members("CorrectionRequest"), diagnoses: members("DiagnosisRequest")},
		along:           map[string]bool{corrections: members("TestCut")["along"], diagnoses: members("SeenCut")["along"]},
		findings:        members("Findings"),
		checks:          codes("CheckCode"),
		causes:          codes("CauseCode"),
		decision:        members("CorrectionAnswer")["decision"] && members("DiagnosisAnswer")["decision"],
		bushingLabelled: members("Bushing")["labelled"] && members("BushingUnsure")["labelled"],
		cutterLabelled:  members("Cutter")["labelled"] && members("CutterUnsure")["labelled"],
	}
	require.NotEmpty(t, k.request[corrections])
	require.NotEmpty(t, k.checks)
	require.NotEmpty(t, k.causes)
	return k
}

// only is those of the findings that the contract knows.
func (k *contractNames) only(known, of map[string]bool) map[string]bool {
	out := map[string]bool{}
	for name, is := range of {
		if known[name] {
			out[name] = is
		}
	}
	return out
}

// answer is what the simulated callers read of an answer.
type answer struct {
	Decision *struct {
		Do      string   `json:"do"`
		Check   *string  `json:"check"`
		Depth   *mm      `json:"depth"`
		Chance  *float64 `json:"chance"`
		Minutes *float64 `json:"expected_minutes"`
	} `json:"decision"`
	Verdict        string   `json:"verdict"`
	Steps          []step   `json:"steps"`
	NextDepth      *mm      `json:"next_depth"`
	ChanceNextFits *float64 `json:"chance_next_fits"`
	Causes         []struct {
		Code        string  `json:"code"`
		Probability float64 `json:"probability"`
		Cure        []step  `json:"cure"`
		Check       struct {
			Code    string  `json:"code"`
			Minutes float64 `json:"minutes"`
		} `json:"check"`
	} `json:"causes"`
	Answers []struct {
		Codes       []string `json:"codes"`
		Probability float64  `json:"probability"`
		Cure        []step   `json:"cure"`
	} `json:"answers"`
	NextCheck *struct {
		Code    string  `json:"code"`
		Minutes float64 `json:"minutes"`
	} `json:"next_check"`
	DepthForTarget *mm           `json:"depth_for_target"`
	Widths         map[string]mm `json:"widths"`
	Fit            *struct {
		Play mm `json:"play"`
	} `json:"fit"`
}

type mm struct {
	MM float64 `json:"mm"`
}

type step struct {
	Action string `json:"action"`
	Amount *mm    `json:"amount"`
	Text   string `json:"text"`
}

// ask posts a call. A refusal is an error: none of these callers is unreasonable.
func (s *served) ask(operation string, c *call) (*answer, error) {
	body, err := json.Marshal(c.body(s.names, operation))
	if err != nil {
		return nil, err
	}
	return s.post(operation, body)
}

func (s *served) post(operation string, body []byte) (*answer, error) {
	request := httptest.NewRequest(http.MethodPost, operation, bytes.NewReader(body))
	request.Header.Set("Content-Type", "application/json")
	w := httptest.NewRecorder()
	s.handler.ServeHTTP(w, request)
	if w.Code != http.StatusOK {
		s.refused.add(fmt.Sprintf("%s %d %s <- %s", operation, w.Code, w.Body, body))
		return nil, fmt.Errorf("%s: %d", operation, w.Code)
	}
	var out answer
	return &out, json.Unmarshal(w.Body.Bytes(), &out)
}

func (s *served) name() string { return "service" }

// advise asks /v1/corrections. Without a decision in its answer, the verdict
// says whether to stop, and the next depth is cut. A set-up that is refused
// leaves the caller where he is.
func (s *served) advise(c *call, _ *rand.Rand) advice {
	a, err := s.ask(corrections, c)
	if err != nil {
		return advice{do: doCut, depth: c.last0(), chance: math.NaN()}
	}
	return a.advice(c, a.Steps)
}

func (a *answer) advice(c *call, steps []step) advice {
	out := advice{do: doCut, depth: c.last0(), chance: math.NaN()}
	if a.NextDepth != nil {
		out.depth = a.NextDepth.MM
	}
	if a.ChanceNextFits != nil {
		out.chance = *a.ChanceNextFits
	}
	d := a.Decision
	if d == nil {
		if a.Verdict == "fits" {
			out.do = doStop
		}
		return out
	}
	out.do = d.Do
	if d.Depth != nil {
		out.depth = d.Depth.MM
	}
	if d.Chance != nil {
		out.chance = *d.Chance
	}
	if d.Check != nil {
		out.check = *d.Check
		out.minute = a.minutesOf(out.check)
	}
	if d.Do == doChange || d.Do == doCut { // beside a depth, template and stop may have to be moved
		out.remedy = remedyOf(steps, nil, c)
	}
	return out
}

// minutesOf is what the answer says that a check takes, 0 where it does not.
func (a *answer) minutesOf(check string) float64 {
	if n := a.NextCheck; n != nil && n.Code == check {
		return n.Minutes
	}
	for _, c := range a.Causes {
		if c.Check.Code == check {
			return c.Check.Minutes
		}
	}
	return 0
}

// diagnose asks /v1/diagnoses. Without a decision, what is to be done is the
// likeliest cause's cure.
func (s *served) diagnose(c *call, _ *rand.Rand) diagnosis {
	var out diagnosis
	a, err := s.ask(diagnoses, c)
	if err != nil {
		out.advice = advice{do: doCut, depth: c.last0(), chance: math.NaN()}
		return out
	}
	for _, cs := range a.Causes {
		out.causes = append(out.causes, cause{cs.Code, []string{cs.Code}, cs.Probability})
	}
	for _, g := range a.Answers {
		out.groups = append(out.groups, cause{g.Codes[0], g.Codes, g.Probability})
	}
	if out.groups == nil {
		out.groups = grouped(out.causes)
	}
	if a.NextCheck != nil {
		out.check, out.minute = a.NextCheck.Code, a.NextCheck.Minutes
	}
	steps, codes := a.cure()
	out.advice = a.advice(c, steps)
	if a.Decision == nil {
		out.advice.do = doChange
	}
	if out.advice.do == doChange {
		out.advice.remedy = remedyOf(steps, codes, c)
	}
	return out
}

// cure is the steps to take, and the causes that they cure.
func (a *answer) cure() ([]step, []string) {
	if len(a.Answers) > 0 && len(a.Answers[0].Cure) > 0 {
		return a.Answers[0].Cure, a.Answers[0].Codes
	}
	if len(a.Causes) == 0 {
		return a.Steps, nil
	}
	codes := []string{a.Causes[0].Code}
	if len(a.Steps) > 0 {
		return a.Steps, codes
	}
	return a.Causes[0].Cure, codes
}

var depthInText = regexp.MustCompile(`depth of ([0-9.]+) mm`)

// remedyOf is what somebody does who takes the steps against these causes.
func remedyOf(steps []step, codes []string, c *call) remedy {
	var m remedy
	for _, st := range steps {
		m.take(&st, codes, c)
	}
	if !slices.Contains(m.repairs, "depth") {
		m.inWood = 0 // an amount is what it is; only who takes the depth from the wood sets it there
	}
	return m
}

// take is one step. One that is not known by its name puts right what it is told for.
func (m *remedy) take(st *step, codes []string, c *call) {
	amount := 0.0
	if st.Amount != nil {
		amount = st.Amount.MM
	}
	switch st.Action {
	case "measure", "recut_test", "keep_gauge", "stop_adjusting":
	case "lower_cutter":
		m.deeper, m.inWood = m.deeper+amount, st.depth()
	case "raise_cutter":
		m.deeper, m.inWood = m.deeper-amount, st.depth()
	case "move_template_in":
		m.onto += amount
	case "move_template_out":
		m.onto -= amount
	case "set_side_stop":
		m.inLine += amount
	case "level_boards":
		m.repairs = append(m.repairs, "level")
	case "change_bushing":
		m.bushing = st.toolSize(c.stated.bushing)
	case "change_cutter":
		m.cutter, m.angle = st.toolSize(c.stated.cutter), st.toolAngle(c.stated.angle)
	default:
		for _, code := range codes {
			if kind := repairKind[code]; kind != "" && !slices.Contains(m.repairs, kind) {
				m.repairs = append(m.repairs, kind)
			}
		}
	}
}

func (st *step) depth() float64 {
	found := depthInText.FindStringSubmatch(st.Text)
	if found == nil {
		return 0
	}
	depth, err := strconv.ParseFloat(found[1], 64)
	if err != nil {
		return 0
	}
	return depth
}

var (
	sizeInText  = regexp.MustCompile(`of ((?:[0-9]+ )?[0-9]+/[0-9]+|[0-9.]+) (mm|in)\b`)
	angleInText = regexp.MustCompile(`([0-9.]+) deg`)
)

// toolSize is the size of the tool to fit, as the step says it; without one, the
// size that was stated all along.
func (st *step) toolSize(stated float64) float64 {
	if st.Amount != nil && st.Amount.MM > 1 {
		return st.Amount.MM
	}
	found := sizeInText.FindStringSubmatch(st.Text)
	if found == nil {
		return stated
	}
	size := 0.0
	for _, term := range strings.Fields(found[1]) {
		over, under, fraction := strings.Cut(term, "/")
		x, err := strconv.ParseFloat(over, 64)
		if err != nil {
			return stated
		}
		if y, err := strconv.ParseFloat(under, 64); fraction && err == nil {
			x /= y
		}
		size += x
	}
	if found[2] == "in" {
		size *= 25.4
	}
	return exact(size)
}

// toolAngle is the same of the cutter's angle.
func (st *step) toolAngle(stated float64) float64 {
	found := angleInText.FindStringSubmatch(st.Text)
	if found == nil {
		return stated
	}
	degrees, err := strconv.ParseFloat(found[1], 64)
	if err != nil {
		return stated
	}
	return degrees
}

func sortCauses(c []cause) {
	sort.SliceStable(c, func(i, j int) bool { return c[i].probability > c[j].probability })
}
