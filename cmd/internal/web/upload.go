package web

import (
	"errors"
	"fmt"
	"io"
	"mime"
	"mime/multipart"
	"net/http"
	"os"
	"path/filepath"
	"sync"
	"time"
)

// upload is a form with a file.
type upload struct {
	form form
	name string // of the file, as its owner calls it; "" where none was chosen
	file multipart.File
	size int64
	all  *multipart.Form
}

// readUpload reads a form with a file in the named box. Long files wait on disk;
// the caller drops them.
func readUpload(r *http.Request, box string) (upload, error) {
	const inMemory = 1 << 20
	// Any other kind of form would be read into memory, whatever its length.
	if kind, _, err := mime.ParseMediaType(r.Header.Get("Content-Type")); err != nil || kind != "multipart/form-data" {
		return upload{}, wrong("A form with a file was expected. Go back and send it again.")
	}
	if err := r.ParseMultipartForm(inMemory); err != nil {
		if tooLarge(err) {
			return upload{}, err
		}
		return upload{}, wrong("The file did not arrive whole. Go back and send it again.")
	}
	u := upload{form: form{values: r.PostForm}, all: r.MultipartForm}
	u.form.version = u.form.get("version")
	if heads := r.MultipartForm.File[box]; len(heads) > 0 {
		file, err := heads[0].Open()
		if err != nil {
			return u, errors.Join(err, r.MultipartForm.RemoveAll())
		}
		u.name, u.file, u.size = filepath.Base(heads[0].Filename), file, heads[0].Size
	}
	return u, nil
}

// bytes returns what is in the file; nothing where none was chosen.
func (u upload) bytes() ([]byte, error) {
	if u.file == nil {
		return nil, nil
	}
	return io.ReadAll(u.file)
}

func (u upload) drop() {
	if u.file != nil {
		u.file.Close() // only read
	}
	u.all.RemoveAll() // the system tidies its own folder where this fails
}

// shelf keeps files between the page that says what they would do and the one
// that does it.
type shelf struct {
	now func() time.Time

	mu     sync.Mutex
	folder string // made when first needed
	files  map[string]shelved
}

// shelved is one of them. It belongs to the session that brought it.
type shelved struct {
	path, name string
	size       int64
	owner      *session
	until      time.Time
}

// Bounds of the shelf: how many files, and how many bytes of the disk.
const (
	mostShelved = 12
	shelfLimit  = 2 * backupLimit
)

// put keeps a file for a while and returns the token that finds it, and it.
func (h *shelf) put(owner *session, name string, from io.Reader) (id string, kept shelved, err error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.folder == "" {
		folder, err := os.MkdirTemp("", "marchpane-files-*")
		if err != nil {
			return "", kept, fmt.Errorf("there is no place for the file: %w", err)
		}
		h.folder, h.files = folder, map[string]shelved{}
	}
	id = token()
	path := filepath.Join(h.folder, id)
	file, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o600)
	if err != nil {
		return "", kept, err
	}
	size, err := io.Copy(file, from)
	if err := errors.Join(err, file.Close()); err != nil {
		return "", kept, errors.Join(err, os.Remove(path))
	}
	kept = shelved{path, name, size, owner, h.now().Add(undoTime)}
	h.files[id] = kept
	h.tidy()
	return id, kept, nil
}

// tidy drops what nobody came back for, and the oldest where there are too many
// or too much; the newest stays. The lock is held.
func (h *shelf) tidy() {
	for len(h.files) > 1 {
		oldest, held := "", int64(0)
		for id, f := range h.files {
			held += f.size
			if oldest == "" || f.until.Before(h.files[oldest].until) {
				oldest = id
			}
		}
		if len(h.files) <= mostShelved && held <= shelfLimit && h.now().Before(h.files[oldest].until) {
			return
		}
		h.remove(oldest)
	}
}

func (h *shelf) remove(id string) {
	os.Remove(h.files[id].path) // what is left over goes with the folder
	delete(h.files, id)
}

// find returns what a token stands for.
func (h *shelf) find(owner *session, id string) (shelved, error) {
	h.mu.Lock()
	defer h.mu.Unlock()
	f, there := h.files[id]
	if !there || owner == nil || f.owner != owner || h.now().After(f.until) {
		return shelved{}, problem{Status: http.StatusConflict, Title: "The file is not here any more", Text: "It waits for half an hour. Nothing was changed; choose it again."}
	}
	return f, nil
}

// drop lets a file go.
func (h *shelf) drop(id string) {
	h.mu.Lock()
	defer h.mu.Unlock()
	h.remove(id)
}

// close lets all go.
func (h *shelf) close() error {
	h.mu.Lock()
	defer h.mu.Unlock()
	if h.folder == "" {
		return nil
	}
	return os.RemoveAll(h.folder)
}
