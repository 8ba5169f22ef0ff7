package letter

import (
	"bytes"
	"crypto/sha256"
	"encoding/base64"
	"encoding/hex"
	"errors"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"net/mail"
	"strings"
	"time"
	"unicode/utf8"

	gomail "github.com/wneessen/go-mail"
	"golang.org/x/text/language"
)

// A Letter is all that one e-mail is made of.
type Letter struct {
	Envelope    Envelope
	Kind        Kind
	Wording     string // the studio's own; "" for [Default]
	Facts       Facts
	Accent      string // #rrggbb; "" for a dark grey
	Attachments []Attachment
}

// An Envelope says who writes to whom.
type Envelope struct {
	From, To Address
	Date     time.Time
	Language string // a BCP 47 tag
	// Draft marks a file that a person opens, reads and then sends: several
	// mail programs take X-Unsent (no standard; from memory) for a draft. What
	// goes out directly is none.
	Draft bool
}

// An Address is an e-mail address and the name shown with it.
type Address struct {
	Name    string
	Address string
}

// An Attachment is a file that goes with the letter.
type Attachment struct {
	Name string // "Q-2026-0012.pdf"
	Type string // a media type; "" to go by the end of the name
	Data []byte
}

// heaviest is what the attachments may weigh in all. Mail services refuse
// messages beyond 20 to 25 MB, and base64 adds a third: common practice, no
// source.
const heaviest = 15_000_000

// Write writes the letter as an e-mail, a file of media type message/rfc822
// whose name ends in .eml. The same letter gives the same bytes.
func Write(w io.Writer, l Letter) error {
	from, err := l.Envelope.From.checked()
	if err != nil {
		return fmt.Errorf("the studio's e-mail address: %w", err)
	}
	to, err := l.Envelope.To.checked()
	if err != nil {
		return fmt.Errorf("the client's e-mail address: %w", err)
	}
	if y := l.Envelope.Date.Year(); y < 1900 || y > 9999 {
		return fmt.Errorf("the letter has no date between 1900 and 9999") // RFC 5322, 3.3
	}
	subject, body, err := l.Text()
	if err != nil {
		return err
	}
	tag := language.Make(l.Envelope.Language).String()
	html, err := page(tag, subject, body, l.Accent)
	if err != nil {
		return err
	}

	m := gomail.NewMsg(gomail.WithNoDefaultUserAgent())
	m.FromMailAddress(from)
	m.ToMailAddress(to)
	m.SetDateWithValue(l.Envelope.Date.Truncate(time.Second))
	m.Subject(encoded(subject))
	m.SetGenHeader("Content-Language", tag)
	if l.Envelope.Draft {
		m.SetGenHeader("X-Unsent", "1")
	}
	m.SetBodyString(gomail.TypeTextPlain, body+"\n")
	m.AddAlternativeString(gomail.TypeTextHTML, html)
	if err := attach(m, l.Attachments); err != nil {
		return err
	}

	mark := digest(from.String(), to.String(), l.Envelope.Date.Format(time.RFC3339), tag, fmt.Sprint(l.Envelope.Draft), subject, body, html, l.Attachments)
	_, domain, _ := strings.Cut(from.Address, "@")
	m.SetMessageIDWithValue(mark[:32] + "@" + domain)
	var buffer bytes.Buffer
	if _, err := m.WriteTo(&buffer); err != nil {
		return fmt.Errorf("the letter cannot be put together: %w", err)
	}
	text, err := steady(buffer.Bytes(), mark)
	if err != nil {
		return err
	}
	_, err = w.Write(text)
	return err
}

// Text returns what the letter says, as [Write] writes it.
func (l Letter) Text() (subject, body string, err error) {
	wording := l.Wording
	if wording == "" {
		if wording = Default(l.Envelope.Language, l.Kind); wording == "" {
			return "", "", fmt.Errorf("there is no letter called %.20q; there are %v", string(l.Kind), Kinds())
		}
	}
	facts := l.Facts
	if oneLine(facts.Client) == "" {
		facts.Client = oneLine(l.Envelope.To.Name)
	}
	if subject, body, err = Fill(wording, facts); err != nil {
		return "", "", fmt.Errorf("%s letter: %w", l.Kind, err)
	}
	return subject, body, nil
}

// encoded makes a subject that is not plain ASCII into encoded words (RFC 2047,
// 2), each short enough for the first line of its header: some readers take a
// line end right after the colon for a blank in the text. What looks like an
// encoded word is encoded too, or it would be decoded.
func encoded(subject string) string {
	plain := !strings.Contains(subject, "=?")
	for word := range strings.FieldsSeq(subject) {
		plain = plain && len(word) <= 60
	}
	for i := range len(subject) {
		plain = plain && subject[i] >= ' ' && subject[i] <= '~'
	}
	if plain {
		return subject
	}
	var words []string
	for len(subject) > 0 {
		cut := min(36, len(subject))
		for cut < len(subject) && !utf8.RuneStart(subject[cut]) {
			cut--
		}
		words = append(words, "=?UTF-8?B?"+base64.StdEncoding.EncodeToString([]byte(subject[:cut]))+"?=")
		subject = subject[cut:]
	}
	return strings.Join(words, " ")
}

// checked returns the address for a header. A local part beyond ASCII needs
// SMTPUTF8 (RFC 6531) of every server on the way, and a domain beyond ASCII
// its other spelling, which the owner of the address knows best.
func (a Address) checked() (*mail.Address, error) {
	const remedy = "write it like anna@example.org"
	if a.Address == "" {
		return nil, errors.New("is missing; " + remedy)
	}
	name := a.Name
	switch clean := oneLine(name); {
	case strings.ContainsAny(name, "\r\n"), strings.Contains(name, "=?"):
		return nil, fmt.Errorf("the name %.60q has a line end or a mail code in it; write it plainly, on one line", name)
	case len([]rune(clean)) > longestSubject:
		return nil, fmt.Errorf("the name %.60q… is longer than %d letters; shorten it", clean, longestSubject)
	default:
		name = clean
	}
	at := strings.LastIndexByte(a.Address, '@')
	if at < 1 {
		return nil, fmt.Errorf("%.80q has no name before an @; %s", a.Address, remedy)
	}
	local, domain := a.Address[:at], a.Address[at+1:]
	for i := range len(a.Address) {
		switch c := a.Address[i]; {
		case c <= ' ' || c == 0x7f:
			return nil, fmt.Errorf("%.80q has a blank or a line end in it; take it out", a.Address)
		case c > 0x7f && i < at:
			return nil, fmt.Errorf("%.80q has letters beyond a to z before the @, which many mail servers refuse; ask for another address", a.Address)
		case c > 0x7f:
			return nil, fmt.Errorf("%.80q has letters beyond a to z after the @; write the domain in its form for machines, which begins with xn--", a.Address)
		}
	}
	parsed, err := mail.ParseAddress(a.Address)
	if err != nil || parsed.Address != a.Address || parsed.Name != "" || strings.ContainsAny(local, `"(),:;<>[]\@`) || !host(domain) {
		return nil, fmt.Errorf("%.80q is no e-mail address; %s", a.Address, remedy)
	}
	if len(local) > 64 || len(domain) > 253 { // RFC 5321, 4.5.3.1
		return nil, fmt.Errorf("%.80q… is longer than an e-mail address may be: 64 letters before the @, 253 after it", a.Address)
	}
	return &mail.Address{Name: name, Address: a.Address}, nil
}

// host reports whether a domain has the preferred form of RFC 1034, 3.5, and
// two parts or more: one alone is a slip in an address that leaves the house.
func host(domain string) bool {
	labels := strings.Split(domain, ".")
	for _, label := range labels {
		if label == "" || len(label) > 63 || label[0] == '-' || label[len(label)-1] == '-' {
			return false
		}
		for _, c := range label {
			if c != '-' && (c < '0' || c > '9') && (c < 'a' || c > 'z') && (c < 'A' || c > 'Z') {
				return false
			}
		}
	}
	return len(labels) > 1
}

// attach adds the files. The headers of each are made here: RFC 2047, 5
// forbids encoded words in the parameters where a file's name goes.
func attach(m *gomail.Msg, files []Attachment) error {
	weight := 0
	for i, f := range files {
		name := f.Name
		if name != oneLine(name) || name == "" || len(name) > 120 || strings.ContainsAny(name, `/\<>:"|?*`) || strings.Trim(name, ".") == "" {
			return fmt.Errorf("attachment %d: %.60q is no name of a file; use up to 120 letters, digits, points and hyphens", i+1, name)
		}
		if weight += len(f.Data); weight > heaviest {
			return fmt.Errorf("attachment %q: the attachments weigh more than %d MB in all, which mail services refuse; leave some out or make them smaller", name, heaviest/1_000_000)
		}
		kind, params, err := mime.ParseMediaType(f.mediaType())
		if err != nil || strings.HasPrefix(kind, "multipart/") || !strings.Contains(kind, "/") {
			return fmt.Errorf("attachment %q: %.60q is no media type, such as application/pdf", name, f.Type)
		}
		header := mime.FormatMediaType(kind, params)
		place := mime.FormatMediaType("attachment", map[string]string{"filename": name})
		if header == "" || place == "" || len(header) > 500 {
			return fmt.Errorf("attachment %q: its media type %.60q cannot be written in a letter", name, f.Type)
		}
		err = m.AttachReader(name, bytes.NewReader(f.Data), func(file *gomail.File) {
			file.Header.Set("Content-Type", header)
			file.Header.Set("Content-Disposition", place)
		})
		if err != nil {
			return fmt.Errorf("attachment %q: %w", name, err)
		}
	}
	return nil
}

// mediaType knows the files that this program makes; what a machine has
// installed must not change a letter's bytes.
func (a Attachment) mediaType() string {
	if a.Type != "" {
		return a.Type
	}
	switch end := a.Name[strings.LastIndexByte(a.Name, '.')+1:]; strings.ToLower(end) {
	case "pdf":
		return "application/pdf"
	case "ics":
		return "text/calendar; charset=utf-8"
	default:
		return "application/octet-stream"
	}
}

// digest returns the hash of all that makes a letter, each part with its
// length before it.
func digest(from, to, date, tag, draft, subject, body, html string, files []Attachment) string {
	h := sha256.New()
	add := func(parts ...string) {
		for _, p := range parts {
			fmt.Fprintf(h, "%d:%s", len(p), p)
		}
	}
	add(from, to, date, tag, draft, subject, body, html)
	for _, f := range files {
		add(f.Name, f.mediaType(), string(f.Data))
	}
	return hex.EncodeToString(h.Sum(nil))
}

// steady puts boundaries made from mark in the place of the random ones. Those
// have 60 random hexadecimal digits each and so stand nowhere else in the
// text; the new ones have 60 too, from a hash that the text cannot contain.
func steady(text []byte, mark string) ([]byte, error) {
	m, err := mail.ReadMessage(bytes.NewReader(text))
	if err != nil {
		return nil, fmt.Errorf("the letter cannot be read back: %w", err)
	}
	kind, header, body := "", m.Header.Get("Content-Type"), m.Body
	for {
		var params map[string]string
		if kind, params, err = mime.ParseMediaType(header); err != nil {
			return nil, fmt.Errorf("the letter cannot be read back: %w", err)
		}
		boundary := params["boundary"]
		if !strings.HasPrefix(kind, "multipart/") {
			return text, nil
		}
		if len(boundary) != 60 {
			return nil, fmt.Errorf("the letter has a boundary of %d characters where 60 were expected", len(boundary))
		}
		sum := sha256.Sum256([]byte(kind + mark))
		text = bytes.ReplaceAll(text, []byte(boundary), []byte(hex.EncodeToString(sum[:])[:60]))
		part, err := multipart.NewReader(body, boundary).NextRawPart()
		if err != nil {
			return nil, fmt.Errorf("the letter cannot be read back: %w", err)
		}
		header, body = part.Header.Get("Content-Type"), part
	}
}
