package cli

import (
	"errors"

	"marchpane/pricing"
	"marchpane/pricing/book"
	"marchpane/pricing/day"
)

type chart interface{}

func writePlot(path string, c chart) error { return errors.New("no plot yet") }

func tornado(name, by string, list []pricing.Exposure) chart { return nil }

func historyPlot(s book.Studio, ing *book.Ingredient, h pricing.History, now day.Date) chart {
	return nil
}

func (o impactOptions) write(r impactResult) error { return nil }
