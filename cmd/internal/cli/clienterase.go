package cli

import (
	"encoding/json"
	"errors"
	"fmt"
	"strings"

	"github.com/spf13/cobra"

	"marchpane/store"
)

func clientMerge(env *Env) *cobra.Command {
	var into string
	var yes bool
	cmd := &cobra.Command{
		Use:   "merge CLIENT --into CLIENT",
		Short: "Make two records of one client one",
		Long: `Make two records of one client one. The one that stays keeps all that it says and
takes what it lacks from the other; what the other said differently is added to its
notes, so that nothing is lost. Enquiries and quotes move over. What stands in
issued quotes does not change.`,
		Example: `  marchpane client list --doubles
  marchpane client merge C7 --into C2`,
		Args: oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			from, errFrom := s.Client(cmd.Context(), args[0])
			to, errTo := s.Client(cmd.Context(), into)
			if err := errors.Join(errFrom, errTo); err != nil {
				return err
			}
			what := fmt.Sprintf("%s %s becomes part of %s %s, and is no record of its own any more. This cannot be undone.", from.Ref, from.Name, to.Ref, to.Name)
			if err := env.sure(yes, what); err != nil {
				return err
			}
			m, err := s.MergeClients(cmd.Context(), from.Ref, to.Ref, env.Now())
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(m)
			}
			fmt.Fprintf(env.Out, "%s is now part of %s %s: %s and %s moved.\n", m.From, m.Client.Ref, m.Client.Name,
				plural(m.Enquiries, "enquiry", "enquiries"), plural(m.Quotes, "quote", "quotes"))
			for _, left := range m.Left {
				fmt.Fprintf(env.Out, "noted: %s\n", left)
			}
			return nil
		}),
	}
	cmd.Flags().StringVar(&into, "into", "", "the `CLIENT` that stays")
	cmd.Flags().BoolVar(&yes, "yes", false, "do not ask whether it is meant")
	cmd.MarkFlagRequired("into")
	return cmd
}

// sure asks whether a loss that cannot be undone is meant. Where nobody can
// answer, --yes has to say so.
func (e *Env) sure(yes bool, what string) error {
	switch {
	case yes:
		return nil
	case !e.Asks:
		return fmt.Errorf("%s\nNothing was changed; add --yes if that is meant", what)
	case !e.confirmed(what):
		return errors.New("nothing was changed")
	}
	return nil
}

func clientExport(env *Env) *cobra.Command {
	var out string
	cmd := &cobra.Command{
		Use:   "export CLIENT",
		Short: "Write all that is held on a client, for the client",
		Long: `Write one JSON file of all that the store holds on a client: the record, enquiries,
every revision of every quote as it was asked for and offered, what was done with
it and why, letters, payments and notes of the work. What a cake costs the studio
is not in it. Read it before you hand it over: notes stand there as you wrote them.

Quotes that belong to no client but bear this one's name or email are named in a
warning, for you to judge.`,
		Example: `  marchpane client export C1 -o zoe.json`,
		Args:    oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			f, err := s.ClientFile(cmd.Context(), args[0])
			if err != nil {
				return err
			}
			plan, err := s.Erasable(cmd.Context(), args[0], env.today())
			if err != nil {
				return err
			}
			var text strings.Builder
			enc := json.NewEncoder(&text)
			enc.SetEscapeHTML(false)
			enc.SetIndent("", "  ")
			if err := enc.Encode(f); err != nil {
				return err
			}
			if len(plan.Others) > 0 {
				fmt.Fprintf(env.Err, "marchpane: %s\n", othersText(plan))
			}
			if err := env.deliver(out, []byte(text.String())); err != nil || out == "" || out == "-" {
				return err
			}
			if env.json {
				return env.printJSON(map[string]string{"file": out})
			}
			fmt.Fprintf(env.Out, "All that is held on %s is in %s. It is personal: keep it no longer than you need it.\n", f.Client.Ref, out)
			return nil
		}),
	}
	cmd.Flags().StringVarP(&out, "output", "o", "", "write to this `FILE` instead of standard output")
	return cmd
}

func othersText(e store.Erasure) string {
	return fmt.Sprintf("%s %s the client's name or email but %s to no client, and %s not included; if they are theirs: marchpane client link %s %s",
		strings.Join(e.Others, ", "), verb(e.Others, "bears", "bear"), verb(e.Others, "belongs", "belong"), verb(e.Others, "is", "are"), e.Client, strings.Join(e.Others, " "))
}

func verb(list []string, one, many string) string {
	if len(list) == 1 {
		return one
	}
	return many
}

func clientErase(env *Env) *cobra.Command {
	var yes, ordersToo bool
	cmd := &cobra.Command{
		Use:   "erase CLIENT",
		Short: "Erase one client's data, leaving the accounts as they are",
		Long: `Erase one client's data. The record and the enquiries are deleted. In quotes, drafts
included, the name becomes "erased client C1", and email, phone, address and venue
go, in every revision; reasons and notes of moves, payments and work become
"erased". Numbers, dates, cakes, prices, tax and payments all stay, so that every
account and report adds up as before. The bytes leave the store's file too.

Not reached are copies: PDFs, spreadsheets and exports that were written, letters
that were sent, and backups of the store; those that upgrades left beside it are
named. See to them yourself. Names in the description of a cake or in
the name of an option stay; they belong to the book.

Tax law in many countries has invoices kept for years with the customer's name, and
may forbid erasing one before then. Ask local law or licensed advice first; export
the client's data (marchpane client export) if they have to be kept elsewhere.

A client whose accepted order is still to come is refused, since the order could
not be delivered; --open-orders-too erases all the same.`,
		Example: `  marchpane client export C1 -o zoe.json
  marchpane client erase C1`,
		Args: oneArgument,
		RunE: env.withStore(func(cmd *cobra.Command, args []string, s *store.Store) error {
			plan, err := s.Erasable(cmd.Context(), args[0], env.today())
			switch {
			case errors.Is(err, store.ErrNotFound):
				// One that was erased already is swept again.
			case err != nil:
				return err
			case len(plan.Ahead) > 0 && !ordersToo:
				// Refused by the store, with the reason; no need to ask.
			default:
				if err := env.sure(yes, erasureText(plan)); err != nil {
					return err
				}
			}
			e, err := s.EraseClient(cmd.Context(), args[0], ordersToo, env.today(), env.Now())
			if err != nil {
				return err
			}
			if env.json {
				return env.printJSON(e)
			}
			printErasure(env, e)
			return nil
		}),
	}
	cmd.Flags().BoolVar(&yes, "yes", false, "do not ask whether it is meant")
	cmd.Flags().BoolVar(&ordersToo, "open-orders-too", false, "even where an accepted order is still to come")
	return cmd
}

// erasureText says what an erasure would take away.
func erasureText(e store.Erasure) string {
	var text strings.Builder
	fmt.Fprintf(&text, "%s %s will be erased:\n  the client's record\n", e.Client, e.Name)
	if len(e.Enquiries) > 0 {
		fmt.Fprintf(&text, "  %s: %s\n", plural(len(e.Enquiries), "enquiry", "enquiries"), strings.Join(e.Enquiries, ", "))
	}
	if len(e.Quotes) > 0 {
		fmt.Fprintf(&text, "  name, contact and venue in %s of %s: %s\n", plural(e.Revisions, "revision", "revisions"), plural(len(e.Quotes), "quote", "quotes"), strings.Join(e.Quotes, ", "))
	}
	if e.Texts > 0 {
		fmt.Fprintf(&text, "  %s\n", plural(e.Texts, "reason or note", "reasons and notes"))
	}
	if len(e.Ahead) > 0 {
		fmt.Fprintf(&text, "Still to come, and not to be delivered without the name: %s.\n", strings.Join(e.Ahead, ", "))
	}
	if len(e.Others) > 0 {
		fmt.Fprintf(&text, "%s.\n", othersText(e))
	}
	fmt.Fprint(&text, "This cannot be undone. Tax law may want invoices kept for years; ask local law or licensed advice first.")
	return text.String()
}

func printErasure(env *Env, e store.Erasure) {
	if e.Already && e.Swept {
		fmt.Fprintf(env.Out, "%s was erased before. The store's file is now swept of what was deleted.\n", e.Client)
		return
	}
	fmt.Fprintf(env.Out, "%s is erased: the record, %s, and the name in %s. Every figure stays.\n", e.Client,
		plural(len(e.Enquiries), "enquiry", "enquiries"), plural(len(e.Quotes), "quote", "quotes"))
	if !e.Swept {
		fmt.Fprintf(env.Out, "Another program is using the store, so traces of what was deleted may be left in its file.\nClose it, then sweep them out with: marchpane client erase %s\n", e.Client)
	}
	if len(e.Others) > 0 {
		// Linking needs a client, who is gone.
		fmt.Fprintf(env.Out, "Not erased, since %s to no client: %s. If they were theirs, add their client and erase that: marchpane client add --of %s\n",
			verb(e.Others, "it belongs", "they belong"), strings.Join(e.Others, ", "), e.Others[0])
	}
	fmt.Fprintln(env.Out, "Out of reach are copies: PDFs, spreadsheets, exports and letters, and backups of the store.")
	if len(e.Copies) > 0 {
		fmt.Fprintf(env.Out, "Backups stand beside the store: %s. Delete them once you need them no longer.\n", strings.Join(e.Copies, ", "))
	}
}
