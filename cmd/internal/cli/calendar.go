package cli

import (
	"context"
	"fmt"
	"io"
	"time"

	"github.com/spf13/cobra"

	"marchpane/pricing/enquiry"
	"marchpane/pricing/quote"
	"marchpane/store"
	"marchpane/templates/calendar"
	"marchpane/templates/document"
)

func calendarCommand(env *Env) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "calendar [QUOTE]",
		Short: "Write events, tastings and due dates as a calendar file",
		Long: `Write a calendar file (.ics, RFC 5545) that any calendar program takes: the days of
the events, tastings, instalments that fall due and the end of a quote's validity;
of one quote, or of every open one. Imported again, a later file moves its entries
instead of adding new ones.`,
		Example: `  marchpane calendar 2026-0001 -o event.ics
  marchpane calendar -o studio.ics`,
		Args: cobra.MaximumNArgs(1),
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			c, err := env.gatherCalendar(cmd.Context(), s, args)
			if err != nil {
				return err
			}
			if out == "" {
				out = "studio.ics"
				if len(args) > 0 {
					out = args[0] + ".ics"
				}
			}
			if err := writeFile(out, func(w io.Writer) error { return calendar.Write(w, c) }); err != nil {
				return err
			}
			if env.json {
				return env.printJSON(map[string]any{"file": out, "entries": len(c.Entries)})
			}
			fmt.Fprintf(env.Out, "%s in %s.\n", plural(len(c.Entries), "entry is", "entries are"), out)
			return nil
		}),
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this `FILE` (default: studio.ics, or the quote's number)")
	return cmd
}

// gatherCalendar gathers the days of one quote, or of the whole studio.
func (e *Env) gatherCalendar(ctx context.Context, s *store.Store, refs []string) (calendar.Calendar, error) {
	studio, err := s.Studio(ctx)
	if err != nil {
		return calendar.Calendar{}, err
	}
	words := document.NewLocale(studio.Locale.Or("en")).Messages()
	all := calendar.Calendar{Name: studio.Name, Language: words.Language, Stamp: e.Now()}
	if len(refs) == 0 {
		list, err := s.Quotes(ctx, e.today())
		if err != nil {
			return all, err
		}
		// What is over stays in for a while, so that its days leave the calendar.
		since := e.today().AddDays(-60).String()
		for _, q := range list {
			if q.State != quote.DraftState && q.EventDate >= since {
				refs = append(refs, q.Ref())
			}
		}
		tastings, err := e.tastings(ctx, s, studio.Name, words)
		if err != nil {
			return all, err
		}
		all.Entries = tastings
	}
	for _, ref := range refs {
		q, err := s.Quote(ctx, ref, "", e.today())
		if err != nil {
			return all, err
		}
		trail, err := s.Trail(ctx, ref)
		if err != nil {
			return all, err
		}
		all.Entries = append(all.Entries, quoteCalendar(e, q, len(trail), q.Quote.Offer.Client.Name, words).Entries...)
	}
	return all, nil
}

// tastings lists when clients come to taste.
func (e *Env) tastings(ctx context.Context, s *store.Store, studio string, words document.Messages) ([]calendar.Entry, error) {
	var entries []calendar.Entry
	for _, state := range []enquiry.State{enquiry.Open, enquiry.Quoted} {
		list, err := s.Enquiries(ctx, state)
		if err != nil {
			return nil, err
		}
		for _, q := range list {
			if q.Tasting == nil {
				continue
			}
			entry := calendar.Entry{UID: calendar.UID(studio, q.Ref, "tasting"), Title: words.Tasting + ": " + q.Name, Category: "tasting", Day: q.Tasting.Date}
			if t := q.Tasting.Time; t.Given {
				d := q.Tasting.Date.Time()
				entry.Day = entry.Until // none: it has an hour
				entry.Start = time.Date(d.Year(), d.Month(), d.Day(), 0, t.Value.Minutes(), 0, 0, e.Now().Location())
				entry.End = entry.Start.Add(time.Hour)
			}
			entries = append(entries, entry)
		}
	}
	return entries, nil
}
