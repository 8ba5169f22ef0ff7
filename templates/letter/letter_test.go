package letter_test

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/json"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"mime/quotedprintable"
	"net/mail"
	"os"
	"os/exec"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"marchpane/templates/letter"
)

// TestRead: two parsers of general use, Go's and Python's, find in the file
// what went into it.
func TestRead(t *testing.T) {
	for _, tag := range letter.Languages() {
		for _, kind := range letter.Kinds() {
			l := sample(tag, kind)
			text := write(t, l)
			grammar(t, text)
			subject, body, err := letter.Fill(letter.Default(tag, kind), l.Facts)
			if err != nil {
				t.Fatal(err)
			}
			want := message{
				Subject: subject, FromName: l.Envelope.From.Name, From: l.Envelope.From.Address, ToName: l.Envelope.To.Name, To: l.Envelope.To.Address,
				Date: "2027-02-03T16:05:09+01:00", Language: tag, Text: body + "\n",
			}
			for _, a := range l.Attachments {
				want.Files = append(want.Files, file{a.Name, "", fmt.Sprintf("%x", sha256.Sum256(a.Data))})
			}
			want.Files[0].Type, want.Files[1].Type = "application/pdf", "text/calendar"
			got := readGo(t, text)
			compare(t, fmt.Sprintf("%s %s, net/mail", tag, kind), got, want)
			if kind == letter.Revision {
				python := readPython(t, text)
				compare(t, fmt.Sprintf("%s %s, Python", tag, kind), python, want)
				if python.HTML != got.HTML {
					t.Errorf("%s: the two parsers read different HTML", tag)
				}
				// A reader of the HTML reads the same words.
				plain := strings.NewReplacer("\n- ", "\n", "\n-- \n", "\n").Replace(body)
				if words := strings.Join(strings.Fields(plain), " "); python.Words != words {
					t.Errorf("%s: the HTML says\n%s\nand the text\n%s", tag, python.Words, words)
				}
			}
		}
	}
}

// TestPage: nothing in the HTML loads anything or runs, whatever the facts.
func TestPage(t *testing.T) {
	l := sample("en", letter.Quote)
	l.Facts.Venue = `"><script>alert(1)</script><img src="https://spy.example/x.png">`
	l.Facts.Note = "See https://drei-tuerme.example/a?b=1&c=2. Not javascript:alert(1), nor (https://x.example/y)."
	html := readGo(t, write(t, l)).HTML
	for _, never := range []string{"<script", "<img", "src=", "url(", "<link", "@import", "javascript:alert(1)\"", "onload"} {
		if strings.Contains(strings.ReplaceAll(html, "src=&#34;", ""), never) {
			t.Errorf("the HTML has %q:\n%s", never, html)
		}
	}
	for _, want := range []string{
		`<html lang="en">`, `border-top:4px solid #7a3b4e`, `<a href="https://drei-tuerme.example/a?b=1&amp;c=2"`, `href="https://x.example/y"`,
		`&lt;script&gt;`, "<li dir=\"auto\">Three tiers, round: 1.240,00 €</li>",
	} {
		if !strings.Contains(html, want) {
			t.Errorf("the HTML lacks %q:\n%s", want, html)
		}
	}
}

// TestSteady: the same letter gives the same bytes, another one another
// Message-ID, in the sender's domain (RFC 5322, 3.6.4).
func TestSteady(t *testing.T) {
	l := sample("fr", letter.Quote)
	first := write(t, l)
	for range 3 {
		if again := write(t, l); !bytes.Equal(first, again) {
			t.Fatal("the same letter gave other bytes")
		}
	}
	id := regexp.MustCompile(`(?m)^Message-I[Dd]: <([0-9a-f]{32})@drei-tuerme\.example>\r$`)
	seen := map[string]bool{}
	for _, change := range []func(*letter.Letter){
		func(*letter.Letter) {},
		func(l *letter.Letter) { l.Facts.Note = "x" },
		func(l *letter.Letter) { l.Envelope.Date = l.Envelope.Date.Add(time.Second) },
		func(l *letter.Letter) { l.Envelope.To.Name = "x" },
		func(l *letter.Letter) { l.Envelope.Draft = true },
		func(l *letter.Letter) { l.Attachments[0].Data = []byte("x") },
		func(l *letter.Letter) { l.Accent = "" },
		func(l *letter.Letter) { l.Attachments = nil },
	} {
		l := sample("fr", letter.Quote)
		change(&l)
		m := id.FindSubmatch(write(t, l))
		if m == nil || seen[string(m[1])] {
			t.Errorf("Message-ID %q is none, or that of another letter", m)
			continue
		}
		seen[string(m[1])] = true
	}
	l.Envelope.Draft = true
	if !bytes.Contains(write(t, l), []byte("\r\nX-Unsent: 1\r\n")) {
		t.Error("a draft is not marked as one")
	}
	if bytes.Contains(first, []byte("X-Unsent")) || bytes.Contains(first, []byte("User-Agent")) || bytes.Contains(first, []byte("X-Mailer")) {
		t.Errorf("a letter says more than it should:\n%s", first[:800])
	}
}

// TestRefused: what would forge a header or not arrive is refused, with the
// reason.
func TestRefused(t *testing.T) {
	for _, c := range []struct {
		change func(*letter.Letter)
		want   string
	}{
		{func(l *letter.Letter) { l.Envelope.To.Address = "" }, "the client's e-mail address: is missing"},
		{func(l *letter.Letter) { l.Envelope.From.Address = "studio" }, "the studio's e-mail address: \"studio\" has no name before an @"},
		{func(l *letter.Letter) { l.Envelope.To.Address = "a@b" }, `"a@b" is no e-mail address`},
		{func(l *letter.Letter) { l.Envelope.To.Address = "a@b..example" }, "is no e-mail address"},
		{func(l *letter.Letter) { l.Envelope.To.Address = "a@-b.example" }, "is no e-mail address"},
		{func(l *letter.Letter) { l.Envelope.To.Address = "a@[127.0.0.1]" }, "is no e-mail address"},
		{func(l *letter.Letter) { l.Envelope.To.Address = "Anna <a@b.example>" }, "has a blank"},
		{func(l *letter.Letter) { l.Envelope.To.Address = "<a@b.example>" }, "is no e-mail address"},
		{func(l *letter.Letter) { l.Envelope.To.Address = "a,c@b.example" }, "is no e-mail address"},
		{func(l *letter.Letter) { l.Envelope.To.Address = `"a"@b.example` }, "is no e-mail address"},
		{func(l *letter.Letter) { l.Envelope.To.Address = "a@b.example\r\nBcc: all@c.example" }, "has a blank or a line end in it"},
		{func(l *letter.Letter) { l.Envelope.To.Address = "zoë@b.example" }, "letters beyond a to z before the @"},
		{func(l *letter.Letter) { l.Envelope.To.Address = "a@bücher.example" }, "begins with xn--"},
		{func(l *letter.Letter) { l.Envelope.To.Address = strings.Repeat("a", 65) + "@b.example" }, "longer than an e-mail address may be"},
		{func(l *letter.Letter) { l.Envelope.To.Name = "Anna\nBcc: all@c.example" }, "has a line end or a mail code in it"},
		{func(l *letter.Letter) { l.Envelope.To.Name = "=?utf-8?q?Anna?=" }, "has a line end or a mail code in it"},
		{func(l *letter.Letter) { l.Envelope.To.Name = strings.Repeat("a", 201) }, "is longer than 200 letters"},
		{func(l *letter.Letter) { l.Envelope.Date = time.Time{} }, "the letter has no date"},
		{func(l *letter.Letter) { l.Kind = "invoice" }, `there is no letter called "invoice"; there are [quote revision`},
		{func(l *letter.Letter) { l.Wording = "s\n{{.Tottal}}" }, "quote letter: line 2: there is no field .Tottal"},
		{func(l *letter.Letter) { l.Accent = "red;background:url(x)" }, "is not written as #7a3b4e"},
		{func(l *letter.Letter) { l.Attachments[0].Name = "../x.pdf" }, "attachment 1: \"../x.pdf\" is no name of a file"},
		{func(l *letter.Letter) { l.Attachments[0].Name = "x\r\nBcc: y.pdf" }, "is no name of a file"},
		{func(l *letter.Letter) { l.Attachments[0].Name = "" }, "is no name of a file"},
		{func(l *letter.Letter) { l.Attachments[0].Type = "pdf" }, "is no media type"},
		{func(l *letter.Letter) { l.Attachments[0].Type = "text/x\r\nBcc: y" }, "is no media type"},
		{func(l *letter.Letter) { l.Attachments[0].Type = "multipart/mixed; boundary=x" }, "is no media type"},
		{func(l *letter.Letter) { l.Attachments[0].Data = make([]byte, 15_000_001) }, "weigh more than 15 MB"},
	} {
		l := sample("en", letter.Quote)
		c.change(&l)
		var b bytes.Buffer
		if err := letter.Write(&b, l); err == nil || !strings.Contains(err.Error(), c.want) || b.Len() > 0 {
			t.Errorf("Write = %v and %d bytes, want none and %q", err, b.Len(), c.want)
		}
	}
}

// TestGreeting: a client without a name is greeted by that of the address.
func TestGreeting(t *testing.T) {
	l := sample("en", letter.Quote)
	l.Facts.Client = " "
	if text := readGo(t, write(t, l)).Text; !strings.HasPrefix(text, "Dear Łucja Øvergård,\n") {
		t.Errorf("the letter begins %.60q", text)
	}
}

// FuzzRead: whatever the strings, the file is well formed and gives them back,
// or is refused.
func FuzzRead(f *testing.F) {
	f.Add("Anna", "anna@post.example", "Re: =?UTF-8?q?x?=", "line\r\n.\r\n--\r\n- x", "a b.pdf", []byte("x\r\n.\r\n"))
	f.Add(`"A", \ <b@c>`, "a.b@c.example", "boundary=0123456789012345678901234567890123456789012345678901234567", "\u202e\u0000", "é\".pdf", []byte{})
	f.Add("名前", "x@y.example", strings.Repeat("long ", 100), "{{.Total}}", "%41.ics", bytes.Repeat([]byte("\xff"), 200))
	f.Add("A\u00a0B ", "x@y.example", strings.Repeat("ß", 300), "=3D =\n", "'x'*y.bin", []byte("From "))
	f.Fuzz(func(t *testing.T, name, address, line, note, fileName string, data []byte) {
		l := sample("en", letter.Quote)
		l.Envelope.To = letter.Address{Name: name, Address: address}
		l.Wording = "{{.Venue}} {{.QuoteName}}\n{{.Venue}}\n\n{{.Note}}\n"
		l.Facts.Venue, l.Facts.Note = line, note
		l.Attachments = []letter.Attachment{{Name: fileName, Data: data}}
		var b bytes.Buffer
		if err := letter.Write(&b, l); err != nil {
			if b.Len() > 0 {
				t.Errorf("refused, and yet %d bytes", b.Len())
			}
			return
		}
		grammar(t, b.Bytes())
		subject, body, err := letter.Fill(l.Wording, l.Facts)
		if err != nil {
			t.Fatal(err)
		}
		m := readGo(t, b.Bytes())
		clean := strings.Join(strings.FieldsFunc(strings.ToValidUTF8(name, "\uFFFD"), func(r rune) bool { return r == ' ' || r == '\t' }), " ")
		if m.ToName != clean && !strings.ContainsFunc(name, func(r rune) bool { return r < ' ' || r > '~' }) || m.To != address {
			t.Errorf("to %q <%s>, want %q <%s>", m.ToName, m.To, clean, address)
		}
		if m.Subject != subject {
			t.Errorf("subject %q, want %q", m.Subject, subject)
		}
		if m.Text != body+"\n" {
			t.Errorf("text %q, want %q", m.Text, body)
		}
		want := file{fileName, m.Files[0].Type, fmt.Sprintf("%x", sha256.Sum256(data))}
		if len(m.Files) != 1 || m.Files[0] != want {
			t.Errorf("files %v, want %v", m.Files, want)
		}
	})
}

// A message is what a parser found.
type message struct {
	Subject, FromName, From, ToName, To, Date, Language, Text, HTML string
	Files                                                           []file
	Words                                                           string   // of the HTML
	Defects                                                         []string // that the parser complains of
}

type file struct{ Name, Type, Sum string }

func compare(t *testing.T, what string, got, want message) {
	t.Helper()
	if len(got.Defects) > 0 {
		t.Errorf("%s: %v", what, got.Defects)
	}
	if !slices.Equal(got.Files, want.Files) {
		t.Errorf("%s: files %v, want %v", what, got.Files, want.Files)
	}
	got.Files, want.Files, got.HTML, got.Words, got.Defects = nil, nil, "", "", nil
	if fmt.Sprintf("%q", got) != fmt.Sprintf("%q", want) {
		t.Errorf("%s:\n%q\nwant\n%q", what, got, want)
	}
}

// grammar checks what every mail must keep: lines end in CR LF and have 998
// octets at most (RFC 5322, 2.1.1), all of them ASCII, as not every server
// carries more (RFC 5321, 2.4).
func grammar(t *testing.T, text []byte) {
	t.Helper()
	for line := range bytes.Lines(text) {
		line, ended := bytes.CutSuffix(line, []byte("\r\n"))
		if !ended || len(line) > 998 || bytes.ContainsFunc(line, func(r rune) bool { return r > '~' || r < ' ' && r != '\t' }) {
			t.Fatalf("line %.200q breaks RFC 5322", line)
		}
	}
	header, _, _ := bytes.Cut(text, []byte("\r\n\r\n"))
	count := map[string]int{}
	for line := range bytes.Lines(header) {
		if name, _, found := bytes.Cut(line, []byte(":")); found && line[0] != ' ' {
			count[strings.ToLower(string(name))]++
		}
	}
	for name, n := range count {
		if n != 1 || !slices.Contains([]string{"content-language", "content-type", "date", "from", "message-id", "mime-version", "subject", "to", "x-unsent"}, name) {
			t.Fatalf("header %s stands %d times", name, n)
		}
	}
}

// readGo reads with net/mail and mime/multipart.
func readGo(t *testing.T, text []byte) (found message) {
	t.Helper()
	m, err := mail.ReadMessage(bytes.NewReader(text))
	if err != nil {
		t.Fatal(err)
	}
	if found.Subject, err = new(mime.WordDecoder).DecodeHeader(m.Header.Get("Subject")); err != nil {
		t.Fatal(err)
	}
	person := func(name string) (string, string) {
		list, err := m.Header.AddressList(name)
		if err != nil || len(list) != 1 {
			t.Fatalf("%s: %v, %v", name, list, err)
		}
		return list[0].Name, list[0].Address
	}
	found.FromName, found.From = person("From")
	found.ToName, found.To = person("To")
	date, err := m.Header.Date()
	if err != nil {
		t.Fatal(err)
	}
	found.Date, found.Language = date.Format(time.RFC3339), m.Header.Get("Content-Language")
	parts(t, m.Header.Get("Content-Type"), m.Body, &found)
	return found
}

func parts(t *testing.T, header string, body io.Reader, found *message) {
	t.Helper()
	_, params, err := mime.ParseMediaType(header)
	if err != nil {
		t.Fatal(err)
	}
	r := multipart.NewReader(body, params["boundary"])
	for {
		p, err := r.NextRawPart()
		if err == io.EOF {
			return
		}
		if err != nil {
			t.Fatal(err)
		}
		kind, _, err := mime.ParseMediaType(p.Header.Get("Content-Type"))
		if err != nil {
			t.Fatal(err)
		}
		if strings.HasPrefix(kind, "multipart/") {
			parts(t, p.Header.Get("Content-Type"), p, found)
			continue
		}
		var decoded io.Reader
		switch p.Header.Get("Content-Transfer-Encoding") {
		case "quoted-printable":
			decoded = quotedprintable.NewReader(p)
		case "base64":
			decoded = base64.NewDecoder(base64.StdEncoding, p)
		default:
			t.Fatalf("a part is encoded as %q", p.Header.Get("Content-Transfer-Encoding"))
		}
		data, err := io.ReadAll(decoded)
		if err != nil {
			t.Fatal(err)
		}
		place, params, _ := mime.ParseMediaType(p.Header.Get("Content-Disposition"))
		switch lines := strings.ReplaceAll(string(data), "\r\n", "\n"); {
		case place == "attachment":
			found.Files = append(found.Files, file{params["filename"], kind, fmt.Sprintf("%x", sha256.Sum256(data))})
		case kind == "text/plain":
			found.Text = lines
		case kind == "text/html":
			found.HTML = lines
		}
	}
}

// readPython reads with the email and html.parser packages of Python 3.
func readPython(t *testing.T, text []byte) (found message) {
	t.Helper()
	python, err := exec.LookPath("python3")
	if err != nil {
		if os.Getenv("CI") != "" {
			t.Fatal(err)
		}
		t.Skip("python3 is not installed")
	}
	cmd := exec.Command(python, "-c", pythonReader)
	cmd.Stdin = bytes.NewReader(text)
	var complaints bytes.Buffer
	cmd.Stderr = &complaints
	out, err := cmd.Output()
	if err != nil {
		t.Fatalf("python3: %v\n%s", err, complaints.String())
	}
	if err := json.Unmarshal(out, &found); err != nil {
		t.Fatalf("%v: %s", err, out)
	}
	return found
}

const pythonReader = `
import sys, json, hashlib, email, email.policy, html.parser
m = email.message_from_bytes(sys.stdin.buffer.read(), policy=email.policy.default)
defects = [repr(d) for part in m.walk() for d in part.defects]
for h in m.values(): defects += [repr(d) for d in getattr(h, 'defects', [])]
def person(h): return (h.addresses[0].display_name, h.addresses[0].addr_spec)
text, page = m.get_body(('plain',)).get_content(), m.get_body(('html',)).get_content()
class Words(html.parser.HTMLParser):
    def __init__(self):
        super().__init__(); self.words, self.body = [], False
    def handle_starttag(self, tag, attrs):
        if tag == 'body': self.body = True
        if tag in ('p', 'br', 'li'): self.words.append(' ')
    def handle_data(self, data):
        if self.body: self.words.append(data)
w = Words(); w.feed(page); w.close()
json.dump(dict(Subject=m['subject'], FromName=person(m['from'])[0], From=person(m['from'])[1], ToName=person(m['to'])[0], To=person(m['to'])[1],
  Date=m['date'].datetime.isoformat(), Language=m['content-language'], Text=text.replace('\r\n','\n'), HTML=page.replace('\r\n','\n'), Words=' '.join(''.join(w.words).split()), Defects=defects,
  Files=[dict(Name=a.get_filename(), Type=a.get_content_type(), Sum=hashlib.sha256(a.get_payload(decode=True)).hexdigest()) for a in m.iter_attachments()]), sys.stdout)
`

func write(t *testing.T, l letter.Letter) []byte {
	t.Helper()
	var b bytes.Buffer
	if err := letter.Write(&b, l); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}
