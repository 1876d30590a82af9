package logbook

import (
	"encoding/binary"
	"errors"
	"hash/crc32"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"stampmill/app/port"
	"stampmill/app/port/memory"
)

// No bytes stop the reader, and what it reads can be written and read again.
func FuzzReadRecord(f *testing.F) {
	f.Add([]byte(`{"v":1,"at":"2026-11-24T19:05:00.12Z","take":` + takeText + `}`))
	f.Add([]byte(`{"v":2,"at":"2026-11-24T19:05:00Z","title":"Stamp","text":"` + strings.Repeat("0f", 16) + `","known":true,"marks":{"hits":0.9,"extra":0.1,"spread_ms":30},"pedals":1,"take":` + takeText + `}`))
	f.Add([]byte(`{"v":3}`))
	f.Fuzz(func(t *testing.T, data []byte) {
		r, err := ReadRecord(data)
		if err != nil {
			if !errors.Is(err, ErrBroken) && !errors.Is(err, ErrNewer) {
				t.Errorf("error %v", err)
			}
			return
		}
		written, err := r.Write()
		if err != nil {
			t.Fatalf("read but not written: %v", err)
		}
		again, err := ReadRecord(written)
		if err != nil {
			t.Fatalf("written but not read: %v", err)
		}
		if diff := cmp.Diff(r, again); diff != "" {
			t.Error(diff)
		}
	})
}

// No bytes stop the reader of packed entries, though their sum is right.
func FuzzUnpack(f *testing.F) {
	f.Add(Pack(3, someEntries(f)))
	f.Add(Pack(3, nil))
	f.Fuzz(func(t *testing.T, data []byte) {
		if n := len(data) - crc32.Size; n > 0 {
			binary.BigEndian.PutUint32(data[n:], crc32.ChecksumIEEE(data[:n]))
		}
		grader, entries, err := Unpack(data)
		if err != nil {
			return
		}
		if _, again, err := Unpack(Pack(grader, entries)); err != nil || len(again) != len(entries) {
			t.Errorf("%d entries, packed again %d, %v", len(entries), len(again), err)
		}
	})
}

// No file stops the reader; a bad one changes nothing, and a good one changes
// nothing the second time.
func FuzzReadBackup(f *testing.F) {
	p := play(f, 0)
	answered, _ := record(heard(f, 1).Done)
	f.Add(BackupOf(noon, [][]port.Record{p.Records(), {answered}}))
	f.Add([]byte(`{"records":{"settings":"{\"v\":1}","take/a":"{\"v\":1,\"at\":\"2026-03-02T12:00:00Z\",\"take\":` + strings.ReplaceAll(takeText, `"`, `\"`) + `}"},"stampmill_backup":1}`))
	f.Add([]byte(`{"stampmill_backup":2,"records":{"take/a":{"v":9},"text/x":"y","unread/take/b":"","entries/2026-03":"x"}}`))
	f.Fuzz(func(t *testing.T, file []byte) {
		d := opened(t, memory.NewArchive(), &memory.Store{Kept: map[string]string{"settings": "{}"}})
		before := everything(d)
		r, err := restore(t, d, string(file))
		after := everything(d)
		if err != nil {
			if diff := cmp.Diff(before, after); diff != "" {
				t.Errorf("%v, but changed: %s", err, diff)
			}
			return
		}
		if takes, _ := census(t, d.archive, d.store); len(takes) > r.Takes {
			t.Errorf("%d takes came in, said %+v", len(takes), r)
		}
		if _, err := restore(t, d, string(file)); err != nil {
			t.Errorf("the second time %v", err)
		}
		if diff := cmp.Diff(after, everything(d)); diff != "" {
			t.Errorf("the second time: %s", diff)
		}
	})
}
