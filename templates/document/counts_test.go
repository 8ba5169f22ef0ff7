package document

import "testing"

// Counts above a thousand are marked as each language marks them (Unicode CLDR 48,
// numbers; Spanish marks from five digits on).
func TestCountsAreMarked(t *testing.T) {
	for tag, want := range map[string][2]string{
		"en-IE": {"1,080 portions", "1,200 × Lemon bar"},
		"de-DE": {"1.080 Portionen", "1.200 × Lemon bar"},
		"fr-FR": {"1\u202f080 parts", "1\u202f200 × Lemon bar"},
		"es-ES": {"1080 raciones", "1200 × Lemon bar"},
		"nl-NL": {"1.080 porties", "1.200 × Lemon bar"},
	} {
		l := NewLocale(tag)
		m := MessagesFor(tag[:2])
		if got := m.Count(l, m.Portions, 1080); got != want[0] {
			t.Errorf("%s: Count of 1080 = %q, want %q", tag, got, want[0])
		}
		if got := l.filled(m.Times, 1200, "Lemon bar"); got != want[1] {
			t.Errorf("%s: 1200 of a kind = %q, want %q", tag, got, want[1])
		}
		if got, want := m.Count(l, m.Portions, 1), sentence(m.Portions[0], 1); got != want {
			t.Errorf("%s: Count of 1 = %q, want %q", tag, got, want)
		}
	}
	// A language may name the parts in another order.
	if got := NewLocale("en-IE").filled("%[2]d of %[1]s", "bars", 2000); got != "2,000 of bars" {
		t.Errorf("filled = %q", got)
	}
}
