package store

import (
	"context"

	"marchpane/pricing/book"
	"marchpane/pricing/measure"
	"marchpane/pricing/record"
)

const selectStudio = `SELECT name, address, email, phone, locale, currency, household, recovers_tax, prices_shown,
	tax_rate, tax_label, tax_number, tax_by, price_step, minimum_order,
	target_margin, target_markup, target_per_portion, target_fixed, floor_margin, allergen_list,
	quote_stated, quote_valid_days, quote_deposit FROM studio`

// studio reads the studio, and reports false where the store has no book.
func (r *reader) studio() (s book.Studio, there bool) {
	if s, there = r.studioHead(); !there {
		return s, false
	}
	terms := &s.Quote.Value
	var in book.Instalment
	r.each(func() { terms.Instalments = append(terms.Instalments, in) },
		`SELECT share, days_before FROM studio_instalment ORDER BY position`, nil,
		text(&in.Share), &in.DaysBefore)

	var fee book.CancellationFee
	r.each(func() { terms.Cancellation = append(terms.Cancellation, fee) },
		`SELECT within_days, share FROM studio_cancellation ORDER BY position`, nil,
		maybe(&fee.WithinDays), text(&fee.Share))

	var term string
	r.each(func() { terms.Terms = append(terms.Terms, term) },
		`SELECT text FROM studio_term ORDER BY position`, nil, &term)
	s.Look = r.look()
	return s, true
}

// studioHead reads the studio without the instalments and terms of its quotes
// and without its look.
func (r *reader) studioHead() (s book.Studio, there bool) {
	var tax book.Tax
	var rate record.Maybe[measure.Percent]
	terms := &s.Quote.Value
	r.each(func() {
		there = true
		if rate.Given {
			tax.Rate = rate.Value
			s.Tax = &tax
		}
	}, selectStudio, nil,
		&s.Name, maybe(&s.Address), maybe(&s.Email), maybe(&s.Phone), maybe(&s.Locale), text(&s.Currency),
		maybe(&s.Household), maybe(&s.RecoversTax), maybe(&s.PricesShown),
		maybe(&rate), maybe(&tax.Label), maybe(&tax.Number), maybe(&tax.By), maybe(&s.PriceStep), maybe(&s.MinimumOrder),
		maybe(&s.Target.Margin), maybe(&s.Target.Markup), maybe(&s.Target.PerPortion), maybe(&s.Target.Fixed),
		maybe(&s.FloorMargin), maybe(&s.AllergenList),
		&s.Quote.Given, maybe(&terms.ValidDays), maybe(&terms.Deposit))
	return s, there
}

const insertStudio = `INSERT INTO studio (id, name, address, email, phone, locale, currency, household, recovers_tax, prices_shown,
	tax_rate, tax_label, tax_number, tax_by, price_step, minimum_order,
	target_margin, target_markup, target_per_portion, target_fixed, floor_margin, allergen_list,
	quote_stated, quote_valid_days, quote_deposit)
	VALUES (1, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?, ?)`

// putStudio writes the studio in place of the one that is there.
func (w *writer) putStudio(s book.Studio) {
	w.do(`DELETE FROM studio`)
	w.do(`DELETE FROM studio_instalment`)
	w.do(`DELETE FROM studio_cancellation`)
	w.do(`DELETE FROM studio_term`)
	var rate, label, number, by any
	if s.Tax != nil {
		rate, label, number, by = s.Tax.Rate.String(), stated(s.Tax.Label), stated(s.Tax.Number), stated(s.Tax.By)
	}
	terms := s.Quote.Value
	w.do(insertStudio, s.Name, stated(s.Address), stated(s.Email), stated(s.Phone), stated(s.Locale), s.Currency.Code(),
		stated(s.Household), stated(s.RecoversTax), stated(s.PricesShown),
		rate, label, number, by, stated(s.PriceStep), stated(s.MinimumOrder),
		stated(s.Target.Margin), stated(s.Target.Markup), stated(s.Target.PerPortion), stated(s.Target.Fixed),
		stated(s.FloorMargin), stated(s.AllergenList),
		s.Quote.Given, stated(terms.ValidDays), stated(terms.Deposit))
	for i, in := range terms.Instalments {
		w.do(`INSERT INTO studio_instalment (position, share, days_before) VALUES (?, ?, ?)`, i+1, in.Share.String(), in.DaysBefore)
	}
	for i, fee := range terms.Cancellation {
		w.do(`INSERT INTO studio_cancellation (position, within_days, share) VALUES (?, ?, ?)`, i+1, stated(fee.WithinDays), fee.Share.String())
	}
	for i, term := range terms.Terms {
		w.do(`INSERT INTO studio_term (position, text) VALUES (?, ?)`, i+1, term)
	}
	w.putLook(s.Look)
}

// overhead reads the overhead without its dated entries; nil where there is
// none.
func (r *reader) overhead() (o *book.Overhead) {
	var v book.Overhead
	r.each(func() { o = &v }, `SELECT method, hours FROM overhead`, nil, text(&v.Method), text(&v.Hours))
	return o
}

// putOverhead writes the overhead, without its dated entries, in place of the
// one that is there.
func (w *writer) putOverhead(o *book.Overhead) {
	w.do(`DELETE FROM overhead`)
	if o != nil {
		w.do(`INSERT INTO overhead (id, method, hours) VALUES (1, ?, ?)`, string(o.Method), typed(o.Hours))
	}
}

// Studio returns the studio of the book. The error is [ErrEmpty] where there is
// no book.
func (s *Store) Studio(ctx context.Context) (studio book.Studio, err error) {
	err = s.read(ctx, func(r *reader) error {
		var there bool
		if studio, there = r.studio(); !there && r.err == nil {
			return ErrEmpty
		}
		return r.err
	})
	return studio, err
}
