// Package cli is the command line: it joins the store to the engine and the
// engine to the papers, and holds no arithmetic of its own.
//
// Each command is one file. A command reads its arguments, loads what it needs
// from the store, computes with package pricing, and hands the result to a
// template or prints it: as a table for people, or with --json as one document
// for scripts.
//
// # Exit status
//
//	0  done
//	1  the input was refused or the job failed
//	2  the command line was wrong
package cli
