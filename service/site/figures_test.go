package site

import (
	"bytes"
	"encoding/json"
	"os"
	"os/exec"
	"path/filepath"
	"testing"

	"github.com/stretchr/testify/assert"
	"github.com/stretchr/testify/require"

	"snugtail/joint/length"
	"snugtail/service/message"
)

// figuresInNode writes lengths with the page's module, as a browser would.
const figuresInNode = `
const told = JSON.parse(process.argv[2]);
globalThis.document = { getElementById: () => ({ textContent: JSON.stringify(told.texts) }), documentElement: { lang: told.lang } };
Object.defineProperty(globalThis, "navigator", { value: { language: told.units === "in" ? "en-US" : "de-DE" }, configurable: true });
const { about, setting, size } = await import(told.module);
console.log(JSON.stringify(told.lengths.map((mm) => [about({ mm }), setting({ mm }), size({ mm }), setting({ mm }, true)])));
`

// The page writes a length as the service does in its sentences, in every unit
// and language.
func TestPageWritesLengthsAsSentencesDo(t *testing.T) {
	node, err := exec.LookPath("node")
	if err != nil && os.Getenv("CI") == "" {
		t.Skip("node is not here")
	}
	require.NoError(t, err)
	languages, err := message.Load()
	require.NoError(t, err)
	dir := t.TempDir()
	for _, name := range []string{"figures.js", "lengths.js", "memory.js", "texts.js"} {
		content, err := kioskFiles.ReadFile("kiosk/" + name)
		require.NoError(t, err)
		require.NoError(t, os.WriteFile(filepath.Join(dir, name), content, 0o600))
	}
	require.NoError(t, os.WriteFile(filepath.Join(dir, "package.json"), []byte(`{"type": "module"}`), 0o600))
	require.NoError(t, os.WriteFile(filepath.Join(dir, "test.mjs"), []byte(figuresInNode), 0o600))
	lengths := []float64{0, 0.1, -0.4237, 0.126, 6.35, 7.7, 10.868, 10.886, 10.9, 11.1125, 11.113, 12.7, 19.05, 22.225, 25.4, 38.1, 0.2, 9.525, 10.7156}
	for _, language := range languages.All() {
		for unit, units := range map[length.Unit]string{length.UnitMillimetre: "mm", length.UnitInch: "in"} {
			p := message.Printer{Catalogue: language, Unit: unit}
			stepped := p
			stepped.KnownSteps = true
			var want [][]string
			for _, mm := range lengths {
				l := length.Length(mm)
				want = append(want, []string{p.About(l), p.Setting(l), p.Size(l), stepped.Setting(l)})
			}
			told, err := json.Marshal(map[string]any{"texts": textsOf(language), "lang": language.Language, "units": units, "lengths": lengths, "module": filepath.Join(dir, "figures.js")})
			require.NoError(t, err)
			var complaint bytes.Buffer
			run := exec.CommandContext(t.Context(), node, filepath.Join(dir, "test.mjs"), string(told)) // #nosec G204 -- our own script
			run.Stderr = &complaint
			said, err := run.Output()
			require.NoError(t, err, complaint.String())
			var got [][]string
			require.NoError(t, json.Unmarshal(said, &got))
			for i := range lengths {
				assert.Equal(t, want[i], got[i], "%g mm in %s, %s", lengths[i], language.Language, units)
			}
		}
	}
}
