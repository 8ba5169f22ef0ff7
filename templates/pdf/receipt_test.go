package pdf_test

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"marchpane/pricing/day"
	"marchpane/pricing/exact"
	"marchpane/pricing/money"
	"marchpane/pricing/quote"
	"marchpane/templates/document"
	"marchpane/templates/pdf"
)

// receipt is that of a deposit for the wedding.
func receipt() document.Receipt {
	q := wedding()
	m := document.MessagesFor("en")
	return document.Receipt{
		Language: "en", Title: "Receipt R2026-0001, Quillwort Cake Studio", Subject: q.Subject, Date: day.Must("2026-12-01"),
		Heading: "Receipt", Name: "Receipt R2026-0001", Page: q.Page, Studio: q.Studio,
		Reference: []document.Fact{{Label: "Number", Value: "R2026-0001"}, {Label: "Received on", Value: "1 December 2026"}},
		Client:    document.Section{Heading: "Received from", Lines: q.Client.Lines},
		Text:      "We have received €400.71 from Zoë Šimková and Cormac Devane, with thanks.",
		Amount:    document.Fact{Label: "Amount received", Value: "€400.71"},
		Details: []document.Fact{{Label: "Order", Value: "Quotation 2026-0001, revision A"}, {Label: "Date of the event", Value: "Saturday, 12 June 2027"},
			{Label: "Paid by", Value: "bank transfer"}, {Label: "Note", Value: "Reference 2026-0001 DEVANE"}},
		Account: document.Account{Heading: "Where the order stands",
			Lines:   []document.Fact{{Label: "Total of the order", Value: "€1,335.70"}, {Label: "Received so far", Value: "€400.71"}},
			Balance: document.Fact{Label: "Still to pay", Value: "€934.99"}},
		Note:      m.ReceiptNote,
		Signature: q.Acceptance.Signatures[1],
	}
}

func renderReceipt(t testing.TB, r document.Receipt) []byte {
	t.Helper()
	var b bytes.Buffer
	warnings, err := pdf.Receipt(&b, r)
	if err != nil || len(warnings) > 0 {
		t.Fatal(err, warnings)
	}
	return b.Bytes()
}

// Outside check: qpdf reads the structure, poppler the text.
func TestReceipt(t *testing.T) {
	data := renderReceipt(t, receipt())
	leave(t, "receipt", data)
	tool(t, data, "qpdf", "--check", "FILE")
	golden(t, "receipt.txt", tool(t, data, "pdftotext", "-layout", "FILE", "-"))
	if !bytes.Equal(data, renderReceipt(t, receipt())) {
		t.Error("two papers of one receipt differ")
	}
	info := tool(t, data, "pdfinfo", "FILE")
	for _, want := range []string{"Receipt R2026-0001, Quillwort Cake Studio", "595.28 x 841.89 pts (A4)", "Pages:           1"} {
		if !strings.Contains(info, want) {
			t.Errorf("pdfinfo lacks %q:\n%s", want, info)
		}
	}
}

// Each kind of receipt, in each language, is one page with all that it says.
func TestReceiptsOfEveryKind(t *testing.T) {
	for _, language := range document.Languages() {
		order := offered(t, language, 3, 90).Choose(1)
		payments := []quote.Payment{
			{Number: "R2026-0001", On: day.Must("2026-12-01"), Amount: euro(t, "900"), Means: quote.Transfer, Note: "Ref. 77"},
			{Number: "R2026-0002", On: day.Must("2026-12-02"), Amount: euro(t, "339.96"), Means: quote.Card, Undone: "R2026-0004"},
			{Number: "R2026-0003", On: day.Must("2026-12-03"), Amount: euro(t, "-50"), Means: quote.Cash},
			{Number: "R2026-0004", On: day.Must("2026-12-04"), Amount: euro(t, "-339.96"), Means: quote.Card, Undoes: "R2026-0002"},
		}
		for i, p := range payments {
			r := document.ReceiptOf(order, p, order.Account(payments, p.On))
			if i%2 == 1 {
				r.Paper = document.Letter
			}
			data := renderReceipt(t, r)
			leave(t, fmt.Sprintf("receipt-%s-%d", language, i+1), data)
			text := bare(tool(t, data, "pdftotext", "-raw", "FILE", "-"))
			all := []string{r.Heading, r.Amount.Value, r.Account.Balance.Value, r.Text, r.Note, r.Mark, r.Signature.Name}
			for _, f := range slices.Concat(r.Reference, r.Details, r.Account.Lines, []document.Fact{r.Amount, r.Account.Balance}) {
				all = append(all, f.Label, f.Value)
			}
			for _, s := range all {
				if !strings.Contains(text, bare(s)) {
					t.Errorf("%s: the paper of %s lacks %q", language, r.Name, s)
				}
			}
			if n := pages(data); n != 1 {
				t.Errorf("%s: %s has %d pages", language, r.Name, n)
			}
		}
	}
}

func euro(t testing.TB, s string) money.Amount {
	t.Helper()
	c, err := money.ParseCurrency("EUR")
	if err != nil {
		t.Fatal(err)
	}
	return c.Round(exact.Must(s))
}

func TestAnyReceiptPrints(t *testing.T) {
	checked := 0
	rapid.Check(t, func(rt *rapid.T) {
		text := rapid.OneOf(rapid.String(), rapid.StringOfN(rapid.Rune(), 0, 400, -1), rapid.Map(rapid.SliceOf(rapid.Byte()), func(b []byte) string { return string(b) }))
		s := func(what string) string { return text.Draw(rt, what) }
		f := rapid.Custom(func(rt *rapid.T) document.Fact {
			return document.Fact{Label: text.Draw(rt, "label"), Value: text.Draw(rt, "value")}
		})
		r := document.Receipt{Page: "%d/%d", Title: s("title"), Name: s("name"), Heading: s("heading"), Mark: s("mark"),
			Studio: document.Studio{Name: s("studio")}, Client: document.Section{Heading: s("from"), Lines: rapid.SliceOfN(text, 0, 3).Draw(rt, "client")},
			Reference: rapid.SliceOfN(f, 0, 3).Draw(rt, "reference"), Text: s("text"), Amount: f.Draw(rt, "amount"),
			Details: rapid.SliceOfN(f, 0, 5).Draw(rt, "details"), Note: s("note"),
			Account:   document.Account{Heading: s("account"), Lines: rapid.SliceOfN(f, 0, 3).Draw(rt, "lines"), Balance: f.Draw(rt, "balance")},
			Signature: document.Signature{Party: s("party"), Name: s("signer"), Lines: rapid.SliceOfN(text, 0, 2).Draw(rt, "rules")}}
		var b bytes.Buffer
		if _, err := pdf.Receipt(&b, r); err != nil {
			rt.Fatal(err)
		}
		if checked++; checked%25 == 0 {
			tool(t, b.Bytes(), "qpdf", "--check", "FILE")
		}
	})
}

// A note longer than a page goes on over pages instead of running off one.
func TestReceiptWithALongNote(t *testing.T) {
	r := receipt()
	words := make([]string, 2000)
	for i := range words {
		words[i] = fmt.Sprintf("w%04d", i)
	}
	r.Details[3].Value = strings.Join(words, " ")
	out := tool(t, renderReceipt(t, r), "pdftotext", "-layout", "FILE", "-")
	for _, w := range words {
		if n := strings.Count(out, w); n != 1 {
			t.Fatalf("%s stands %d times, want once", w, n)
		}
	}
}

// leave keeps a paper to look at, where that is asked for.
func leave(t testing.TB, name string, data []byte) {
	t.Helper()
	if *keep == "" {
		return
	}
	if err := os.WriteFile(filepath.Join(*keep, name+".pdf"), data, 0o600); err != nil {
		t.Fatal(err)
	}
}
