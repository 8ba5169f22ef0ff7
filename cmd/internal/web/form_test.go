package web

import (
	"encoding/json"
	"net/http"
	"net/http/httptest"
	"net/url"
	"strings"
	"testing"

	"marchpane/pricing/book"
	"marchpane/pricing/record"
)

func TestFigure(t *testing.T) {
	for in, want := range map[string]string{
		"12.50": "12.50", "12,5": "12.5", "12,50 kg": "12.50 kg", "0,125": "0.125", "1,250": "1,250", "1,234.50": "1234.50",
		"1.234,50": "1234.50", "a,5": "a,5", ",5": "0.5", "": "", "10 x 250 g": "10 x 250 g", "1,2,3": "1,2,3",
	} {
		if got := amountText(in); got != want {
			t.Errorf("amountText(%q) = %q, want %q", in, got, want)
		}
	}
	f := form{values: url.Values{"a": {"30"}, "b": {"12,5 %"}, "c": {" "}, "d": {"yes"}}}
	if f.percent("a") != "30 %" || f.percent("b") != "12.5 %" || f.percent("c") != "" || !f.ticked("d") || f.ticked("e") {
		t.Errorf("percent: %q %q %q, ticked: %t %t", f.percent("a"), f.percent("b"), f.percent("c"), f.ticked("d"), f.ticked("e"))
	}
}

func TestOverlayWithRows(t *testing.T) {
	old := book.Component{ID: "curd", Name: "Curd"}
	f := form{values: url.Values{
		"lines[0].use": {"lemon"}, "lines[0].qty": {"2 each"}, "lines[1].use": {""}, "lines[1].qty": {" "},
		"lines[12].use": {"sugar"}, "lines[12].qty": {"a lot"},
	}}
	_, faults := overlay(old, settings{"name": "Lemon curd", "lines": f.rows("lines", "use", "qty")})
	if len(faults) != 1 || faults[0].Path != "lines[1].qty" {
		t.Errorf("faults = %v, want one at lines[1].qty", faults)
	}
	f.values.Set("lines[12].qty", "200 g")
	now, faults := overlay(old, settings{"name": "Lemon curd", "kind": "", "lines": f.rows("lines", "use", "qty")})
	if len(faults) > 0 || now.Name != "Lemon curd" || len(now.Lines) != 2 || now.Lines[1].Use != "sugar" || now.Kind.Given {
		text, _ := json.Marshal(now)
		t.Errorf("overlay = %s, %v", text, faults)
	}
}

func TestIDFor(t *testing.T) {
	taken := map[book.ID]bool{"butter": true}
	for in, want := range map[string]book.ID{"Crème pâtissière": "creme-patissiere", "Butter": "butter-2", "  70 % dark / bitter ": "70-dark-bitter", "漢字": "item", "Weißer Guss": "weisser-guss"} {
		got := idFor(in, func(id book.ID) bool { return taken[id] })
		var back book.ID
		if err := back.UnmarshalText([]byte(got)); got != want || err != nil {
			t.Errorf("idFor(%q) = %q, %v, want %q", in, got, err, want)
		}
	}
}

func TestSaveStudio(t *testing.T) {
	v := visitStudio(t, true)
	r := httptest.NewRequest("POST", "/studio", nil)
	var version string
	v.server.enter(http.HandlerFunc(func(_ http.ResponseWriter, in *http.Request) {
		x, err := v.server.book(in)
		if err != nil {
			t.Fatal(err)
		}
		version = versionOf(x.Book.Studio)
		now, undo, err := saveStudio(in, v.server, version, func(s book.Studio) (book.Studio, record.Faults) {
			return overlay(s, settings{"name": "Another name"})
		})
		if err != nil || now.Name != "Another name" || undo == nil {
			t.Fatalf("saveStudio = %q, %v", now.Name, err)
		}
		if _, _, err = saveStudio(in, v.server, version, func(s book.Studio) (book.Studio, record.Faults) {
			return overlay(s, settings{"name": "A third"})
		}); err == nil {
			t.Error("a studio that was changed since is overwritten")
		}
		if _, err := undo(in.Context()); err != nil {
			t.Error(err)
		}
		if x, _ := v.server.book(in); versionOf(x.Book.Studio) != version {
			t.Error("undo did not bring the studio back")
		}
		// Every kind finds its objects, and none that is not there.
		if _, err := roles.find(x.Book, x.Book.Roles[0].ID); err != nil {
			t.Error(err)
		}
		if _, err := equipment.find(x.Book, x.Book.Equipment[0].ID); err != nil {
			t.Error(err)
		}
		if _, err := tins.find(x.Book, "no-such-tin"); err == nil {
			t.Error("a tin that nobody has was found")
		}
	})).ServeHTTP(httptest.NewRecorder(), r)
}

func TestUploadsAreBounded(t *testing.T) {
	v := visitStudio(t, true)
	m := &routes{v.server, http.NewServeMux()}
	m.upload("/take", func(w http.ResponseWriter, r *http.Request) error {
		if err := r.ParseMultipartForm(1 << 20); err != nil {
			return err
		}
		return nil
	})
	for size, want := range map[int]int{bodyLimit * 2: http.StatusOK, uploadLimit + 1: http.StatusRequestEntityTooLarge} {
		body := "--b\r\nContent-Disposition: form-data; name=\"f\"; filename=\"f\"\r\n\r\n" + strings.Repeat("x", size) + "\r\n--b--\r\n"
		r := httptest.NewRequest("POST", "/take", strings.NewReader(body))
		r.Header.Set("Content-Type", "multipart/form-data; boundary=b")
		w := httptest.NewRecorder()
		m.mux.ServeHTTP(w, r)
		if w.Code != want {
			t.Errorf("an upload of %d bytes: %d, want %d", size, w.Code, want)
		}
	}
}
