package logbook

import (
	"bytes"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"strings"
	"time"
	"unicode/utf8"

	"stampmill/app/port"
)

// A backup is one JSON file:
//
//	{"stampmill_backup":2,"saved":"2026-03-02T12:00:00Z","records":{
//	"take/2026-03-01T10-00-00.000Z-2d711642":{"v":2,...},
//	"text/0f0f...":"title: Headframe\n..."
//	}}
//
// Its records are those of the device under their names. A record that is a JSON
// object stands there as that; any other is a JSON string of its bytes. Version
// 1 had strings only. What is packed is left out: it is made anew.
const backupVersion = 2

// MaxBackup is how many bytes of a backup are read: about 30,000 takes. Our
// choice; a page has the file in memory while it reads it.
const MaxBackup = 192 << 20

const backupEnd = "\n}}\n"

// backupHead is the begin of a backup.
func backupHead(saved time.Time) []byte {
	return fmt.Appendf(nil, `{"stampmill_backup":%d,"saved":%q,"records":{`, backupVersion, saved.UTC().Format(time.RFC3339))
}

// appendBackup appends a record; first says that none stands before it.
func appendBackup(dst []byte, first bool, name string, value []byte) []byte {
	if !first {
		dst = append(dst, ',')
	}
	dst = append(append(append(dst, '\n'), quoted(name)...), ':')
	if compact(value) {
		return append(dst, value...)
	}
	return append(dst, quoted(string(value))...)
}

// quoted is a JSON string that is read again as s, but that bytes that are not
// UTF-8 become U+FFFD.
func quoted(s string) []byte {
	var out bytes.Buffer
	e := json.NewEncoder(&out)
	e.SetEscapeHTML(false)
	_ = e.Encode(s) // a string: cannot fail
	return bytes.TrimSuffix(out.Bytes(), []byte("\n"))
}

// compact reports whether bytes are a JSON object that comes out of a file as it
// went in.
func compact(value []byte) bool {
	if len(value) == 0 || value[0] != '{' || !utf8.Valid(value) {
		return false
	}
	var out bytes.Buffer
	return json.Compact(&out, value) == nil && bytes.Equal(out.Bytes(), value)
}

// BackupOf is a backup of some takes and answers alone, each with its records.
func BackupOf(saved time.Time, plays [][]port.Record) []byte {
	out := backupHead(saved)
	texts := map[string]bool{}
	first := true
	for _, p := range plays {
		for _, r := range p {
			if texts[r.Name] {
				continue
			}
			texts[r.Name] = true
			out = appendBackup(out, first, r.Name, r.Value)
			first = false
		}
	}
	return append(out, backupEnd...)
}

// IsBackup reports whether a file says of itself that it is a backup.
func IsBackup(file []byte) bool {
	trimmed := bytes.TrimLeft(file, " \t\r\n")
	if len(trimmed) == 0 || trimmed[0] != '{' {
		return false
	}
	tag := []byte(`"stampmill_backup"`) // at the end in the first version
	return bytes.Contains(trimmed[:min(len(trimmed), 200)], tag) || bytes.Contains(trimmed[max(0, len(trimmed)-200):], tag)
}

// Errors of backups, each as "what; what to do".
var (
	errNoBackup    = errors.New("this file is no backup of Stampmill; choose the file that was saved in Setup")
	errNewerBackup = errors.New("this backup was saved by a newer version; load the page again to get that version")
)

// A backupReader reads the records of a backup one after the other. The file is
// good when next has come to its end without an error.
type backupReader struct {
	data    []byte
	json    *json.Decoder
	version int
	inside  bool // among the records
	begun   bool
	records bool // there were some
}

func newBackupReader(data []byte) *backupReader {
	return &backupReader{data: data, json: json.NewDecoder(bytes.NewReader(data))}
}

// next returns the next record; io.EOF after the last one. Any other error is
// of the whole file.
func (r *backupReader) next() (name string, value []byte, err error) {
	name, value, err = r.step()
	if err == nil || err == io.EOF || errors.Is(err, errNoBackup) || errors.Is(err, errNewerBackup) {
		return name, value, err
	}
	return "", nil, r.fault(err)
}

// fault names the line of what is no JSON.
func (r *backupReader) fault(err error) error {
	at := min(int(r.json.InputOffset()), len(r.data))
	line := 1 + bytes.Count(r.data[:at], []byte("\n"))
	if errors.Is(err, io.ErrUnexpectedEOF) || errors.Is(err, io.EOF) {
		return fmt.Errorf("the file ends in the middle, in line %d; save the backup again", line)
	}
	return fmt.Errorf("line %d of the file is damaged; use another backup", line)
}

func (r *backupReader) step() (string, []byte, error) {
	for !r.inside || !r.json.More() {
		if r.inside {
			r.inside = false
			if err := r.expect('}'); err != nil {
				return "", nil, err
			}
			continue
		}
		if done, err := r.top(); done || err != nil {
			return "", nil, err
		}
	}
	name, err := r.key()
	if err != nil {
		return "", nil, err
	}
	var raw json.RawMessage
	if err := r.json.Decode(&raw); err != nil {
		return "", nil, ended(err)
	}
	if raw[0] == '"' {
		var text string
		if err := json.Unmarshal(raw, &text); err != nil {
			return "", nil, err
		}
		return name, []byte(text), nil
	}
	return name, raw, nil
}

// top reads one field of the file; done at its end.
func (r *backupReader) top() (done bool, err error) {
	if !r.begun {
		r.begun = true
		if r.expect('{') != nil {
			return false, errNoBackup
		}
	}
	if !r.json.More() {
		return true, r.end()
	}
	key, err := r.key()
	if err != nil {
		return false, err
	}
	switch key {
	case "stampmill_backup":
		if err := r.json.Decode(&r.version); err != nil {
			return false, ended(err)
		}
		if r.version > backupVersion {
			return false, errNewerBackup
		}
	case "records":
		r.records, r.inside = true, true
		return false, r.expect('{')
	default:
		var other json.RawMessage
		return false, ended(r.json.Decode(&other))
	}
	return false, nil
}

// end is the end of the file.
func (r *backupReader) end() error {
	if err := r.expect('}'); err != nil {
		return err
	}
	if r.version < 1 || !r.records {
		return errNoBackup
	}
	if _, err := r.json.Token(); err != io.EOF {
		return errors.New("more follows")
	}
	return io.EOF
}

func (r *backupReader) expect(d json.Delim) error {
	t, err := r.json.Token()
	if err != nil {
		return ended(err)
	}
	if t != d {
		return fmt.Errorf("%v instead of %v", t, d)
	}
	return nil
}

func (r *backupReader) key() (string, error) {
	t, err := r.json.Token()
	if err != nil {
		return "", ended(err)
	}
	key, ok := t.(string)
	if !ok {
		return "", errors.New("no name")
	}
	return key, nil
}

// ended makes the end of the file in the middle an error of its own.
func ended(err error) error {
	if err == io.EOF {
		return io.ErrUnexpectedEOF
	}
	return err
}

// share is how much of the file was read, 0 to 1.
func (r *backupReader) share() float64 {
	return float64(r.json.InputOffset()) / float64(max(1, len(r.data)))
}

// isText reports whether a record is a text under its own hash.
func isText(name string, value []byte) bool {
	return strings.TrimPrefix(name, TextPrefix) == Hash(string(value))
}
