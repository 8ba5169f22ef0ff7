// Marchpane costs and quotes special-occasion cakes. See the README.
package main

import (
	"os"

	"marchpane/cmd/internal/cli"
)

func main() { os.Exit(cli.Main(os.Args[1:], cli.System())) }
