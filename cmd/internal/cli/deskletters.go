package cli

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"time"

	"marchpane/cmd/internal/post"
	"marchpane/cmd/internal/web"
	"marchpane/store"
	"marchpane/templates/calendar"
	"marchpane/templates/letter"
)

// pagePatience bounds each step of handing a letter over while somebody waits
// for a page.
const pagePatience = 20 * time.Second

// LookAtLetter says what would go out, and does nothing.
func (d desk) LookAtLetter(ctx context.Context, s *store.Store, q store.SavedQuote, ask web.LetterAsk) (web.LetterLook, error) {
	l, look, err := d.lookAt(ctx, s, q, ask)
	if err != nil {
		return look, err
	}
	// What is shown can be written, too: addresses are checked there.
	if err := letter.Write(&bytes.Buffer{}, l); err != nil {
		return look, web.LetterFault{Err: err}
	}
	return look, nil
}

func (d desk) lookAt(ctx context.Context, s *store.Store, q store.SavedQuote, ask web.LetterAsk) (letter.Letter, web.LetterLook, error) {
	var look web.LetterLook
	l, err := d.env.writeLetter(ctx, s, q, sending{to: ask.To, kind: ask.Kind, payment: ask.Payment, note: ask.Note, invite: ask.Calendar, now: true})
	if err != nil {
		return l, look, web.LetterFault{Err: err}
	}
	look.Kind, look.Language, look.From, look.To = string(l.Kind), l.Envelope.Language, l.Envelope.From, l.Envelope.To
	if look.Subject, look.Body, err = l.Text(); err != nil {
		return l, look, web.LetterFault{Err: err}
	}
	sent, err := s.Sendings(ctx, q.Ref())
	if err != nil {
		return l, look, err
	}
	sum := sha256.New()
	for _, part := range []string{q.Ref(), q.Quote.Revision, look.Kind, look.Language, look.From.Name, look.From.Address, look.To.Name, look.To.Address, look.Subject, look.Body, l.Accent, fmt.Sprint(len(sent))} {
		hashPart(sum, []byte(part))
	}
	for _, a := range l.Attachments {
		look.Files = append(look.Files, web.LetterFile{Name: a.Name, Data: a.Data})
		hashPart(sum, []byte(a.Name))
		hashPart(sum, unstamped(a.Data))
	}
	look.Version = hex.EncodeToString(sum.Sum(nil)[:12])
	return l, look, nil
}

// hashPart keeps parts apart by their lengths.
func hashPart(sum hash.Hash, part []byte) {
	fmt.Fprintf(sum, "%d ", len(part))
	sum.Write(part)
}

// unstamped leaves out of a calendar file when it was written: looked at a
// minute later it is still the same.
func unstamped(data []byte) []byte {
	if !bytes.HasPrefix(data, []byte("BEGIN:VCALENDAR")) {
		return data
	}
	var kept []byte
	for line := range bytes.Lines(data) {
		if !bytes.HasPrefix(line, []byte("DTSTAMP")) {
			kept = append(kept, line...)
		}
	}
	return kept
}

// SendLetter hands a letter to the mail server, and notes it once that has
// taken it.
func (d desk) SendLetter(ctx context.Context, s *store.Store, q store.SavedQuote, ask web.LetterAsk, version, password string) (web.LetterLook, error) {
	l, look, err := d.lookAt(ctx, s, q, ask)
	if err != nil {
		return look, err
	}
	if look.Version != version {
		return look, web.ErrLetterChanged
	}
	var text bytes.Buffer
	if err := letter.Write(&text, l); err != nil {
		return look, web.LetterFault{Err: err}
	}
	if err := d.handOver(ctx, s, text.Bytes(), password); err != nil {
		return look, err
	}
	note := store.Sending{Revision: q.Quote.Revision, Kind: look.Kind, How: "server"}
	if err := s.NoteSending(ctx, q.Ref(), note, d.env.Now()); err != nil {
		return look, web.MailFault{Err: fmt.Errorf("the letter went out, and that could not be noted: %w", err), Gone: true}
	}
	return look, nil
}

// handOver sends a letter that is ready.
func (d desk) handOver(ctx context.Context, s *store.Store, text []byte, password string) error {
	m, there, err := s.MailServer(ctx)
	if err != nil {
		return err
	}
	if !there {
		return web.MailFault{Err: errors.New("no mail server is named any more")}
	}
	if password == "" {
		password = d.givenPassword(m)
	}
	settings := post.Settings{Host: m.Host, Port: m.Port, User: m.User, Security: post.Security(m.Security), Timeout: pagePatience}
	if m.User != "" {
		if settings.Password = password; password == "" {
			return web.MailFault{Err: fmt.Errorf("%s asks for the password of %s", m.Host, m.User)}
		}
	}
	if err := post.Send(ctx, settings, text); err != nil {
		return web.MailFault{Err: err, Unsure: errors.Is(err, post.ErrUnsure)}
	}
	return nil
}

// givenPassword returns the password that whoever started the pages gave for a
// mail server, "" where it was not for this one.
func (d desk) givenPassword(m store.MailServer) string {
	if m != d.mail {
		return ""
	}
	return d.env.Getenv(mailPassword)
}

// Mail says how letters leave the house.
func (d desk) Mail(ctx context.Context, s *store.Store) (web.MailWay, error) {
	m, there, err := s.MailServer(ctx)
	return web.MailWay{Known: there, Host: m.Host, User: m.User, Asks: m.User != "" && d.givenPassword(m) == ""}, err
}

// trialWording is what a letter to oneself says. It goes to nobody else, so it
// is in the language of the pages.
const trialWording = `A trial from {{.Studio}}

This letter went out through your mail server, so letters to clients can too.

Whether they get past the filters of others is for your mail provider to say.
`

// TryMail sends a letter to the studio itself.
func (d desk) TryMail(ctx context.Context, s *store.Store, password string) (string, error) {
	studio, err := s.Studio(ctx)
	if err != nil {
		return "", err
	}
	if studio.Email.Value == "" {
		return "", web.MailFault{Err: errors.New("the studio has no e-mail address to write from and to; add it under Name, address, languages")}
	}
	own := letter.Address{Name: studio.Name, Address: studio.Email.Value}
	var text bytes.Buffer
	err = letter.Write(&text, letter.Letter{
		Kind: letter.Quote, Wording: trialWording, Facts: letter.Facts{Studio: studio.Name, Client: studio.Name},
		Envelope: letter.Envelope{From: own, To: own, Date: d.env.Now(), Language: "en"},
	})
	if err != nil {
		return "", web.MailFault{Err: err}
	}
	return own.Address, d.handOver(ctx, s, text.Bytes(), password)
}

// StudioCalendar writes the days of every open quote and order, and tastings.
func (d desk) StudioCalendar(ctx context.Context, s *store.Store) ([]byte, error) {
	c, err := d.env.gatherCalendar(ctx, s, nil)
	if err != nil {
		return nil, err
	}
	var text bytes.Buffer
	err = calendar.Write(&text, c)
	return text.Bytes(), err
}
