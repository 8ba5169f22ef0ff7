package web_test

import (
	"io"
	"strings"
	"time"

	"marchpane/cmd/internal/cli"
	"marchpane/cmd/internal/web"
)

func init() {
	web.UseDesk(cli.NewDesk(&cli.Env{
		In: strings.NewReader(""), Out: io.Discard, Err: io.Discard, Now: func() time.Time { return web.TestTime },
		Getenv: func(string) string { return "" }, Home: func() (string, error) { return "", nil },
	}))
}
