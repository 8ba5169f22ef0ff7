package store

import (
	"context"
	"database/sql"
	"database/sql/driver"
)

// Overhear opens the file of s once more, to read only, and tells heard of every
// question that is asked of it.
func Overhear(s *Store, heard func(query string, args []driver.NamedValue)) *Store {
	return &Store{path: s.path, reader: sql.OpenDB(ear{s.reader.Driver(), dsn(s.path, "_query_only=1"), heard}), writer: s.writer}
}

// ear is a connector whose connections tell what they are asked.
type ear struct {
	driver driver.Driver
	dsn    string
	heard  func(string, []driver.NamedValue)
}

func (e ear) Driver() driver.Driver { return e.driver }

func (e ear) Connect(context.Context) (driver.Conn, error) {
	c, err := e.driver.Open(e.dsn)
	if err != nil {
		return nil, err
	}
	return overheard{c, e.heard}, nil
}

type overheard struct {
	driver.Conn
	heard func(string, []driver.NamedValue)
}

func (o overheard) QueryContext(ctx context.Context, query string, args []driver.NamedValue) (driver.Rows, error) {
	o.heard(query, args)
	return o.Conn.(driver.QueryerContext).QueryContext(ctx, query, args)
}

func (o overheard) BeginTx(ctx context.Context, opts driver.TxOptions) (driver.Tx, error) {
	return o.Conn.(driver.ConnBeginTx).BeginTx(ctx, opts)
}
