// Package exchange carries exercises from one place to another: in links.
//
// The one idea: what comes from outside is checked as far as this package can
// tell, and no further. A link is whole or it is refused with what happened to
// it; whether the text in it is an exercise is for package drill to say, as of
// a file. Sizes are bytes of text and characters of a link. Call [Link] to make
// the part of an address after its #, and [ReadLink] to read it.
//
// # The form of a link
//
// "d1." and then, in the URL-safe base64 of RFC 4648 without padding: two
// bytes, the number of bytes that follow the head; four bytes, the CRC-32 (IEEE)
// of those; and the text compressed by DEFLATE (RFC 1951). Numbers begin with
// their highest byte. Another form would have another number after the d.
package exchange

import (
	"bytes"
	"compress/flate"
	"encoding/base64"
	"encoding/binary"
	"errors"
	"fmt"
	"hash/crc32"
	"io"
	"strings"

	"stampmill/exercises/drill"
)

// MaxLink is the most characters of a link. Our choice: browsers take far
// longer ones, but mails and messengers cut or hide them.
const MaxLink = 32 << 10

const (
	mark        = "d1."
	head        = 2 + 4        // bytes: length and checksum
	headLetters = head * 4 / 3 // exactly
)

// code is strict: a link has one spelling.
var code = base64.RawURLEncoding.Strict()

// What may have happened to a link. Each says what to do.
var (
	errCut     = errors.New("the end of this link is missing; copy the whole link again, up to its last letter")
	errChanged = errors.New("a part of this link was changed on its way; copy the whole link again, or ask for the file")
	errNewer   = errors.New("this link was made by a newer version; load this page again to get that version")
	errNoLink  = errors.New("this is not a link to an exercise; copy the whole link again, from its first letter")
	errLong    = fmt.Errorf("this link has more than %d characters; ask for the file instead", MaxLink)
	errText    = fmt.Errorf("the exercise in this link has more than %d bytes; ask for a shorter one", drill.MaxFile)
)

// Link returns the link that holds a text, to stand after the # of an address.
// The same text gives the same link. A text of more than [drill.MaxFile]
// bytes, and one whose link would be longer than [MaxLink], is refused.
func Link(text []byte) (string, error) {
	if len(text) > drill.MaxFile {
		return "", fmt.Errorf("the exercise has more than %d bytes; shorten it, or make two of it", drill.MaxFile)
	}
	packed := pack(text)
	if n := len(mark) + code.EncodedLen(head+len(packed)); n > MaxLink {
		return "", fmt.Errorf("the link would have %d characters, more than the %d that arrive everywhere; send the file instead", n, MaxLink)
	}
	whole := binary.BigEndian.AppendUint16(nil, uint16(len(packed)))
	whole = binary.BigEndian.AppendUint32(whole, crc32.ChecksumIEEE(packed))
	return mark + code.EncodeToString(append(whole, packed...)), nil
}

// IsLink reports whether the part of an address after its # claims to be a
// link of any version, and not a place on the page.
func IsLink(fragment string) bool {
	number, _, dot := strings.Cut(strings.TrimPrefix(fragment, "d"), ".")
	return dot && strings.HasPrefix(fragment, "d") && number != "" && strings.Trim(number, "0123456789") == ""
}

// ReadLink returns the text that a link holds. It takes what stands after the
// # or the whole address; white space that a mail put into it, and what
// punctuation stands behind it, is left out. The text is checked by nobody yet.
func ReadLink(fragment string) ([]byte, error) {
	if len(fragment) > 2*MaxLink { // room for an address and for white space
		return nil, errLong
	}
	fragment = tidy(fragment)
	switch {
	case len(fragment) > MaxLink:
		return nil, errLong
	case fragment != "" && strings.HasPrefix(mark, fragment):
		return nil, errCut
	case !strings.HasPrefix(fragment, mark) && IsLink(fragment):
		return nil, errNewer
	case !strings.HasPrefix(fragment, mark):
		return nil, errNoLink
	}
	packed, err := whole(fragment[len(mark):])
	if err != nil {
		return nil, err
	}
	return unpack(packed)
}

// tidy leaves out what addresses and mails put round and into a link.
func tidy(link string) string {
	if _, after, ok := strings.Cut(link, "#"); ok {
		link = after
	}
	link = strings.NewReplacer("%20", "", "%0A", "", "%0D", "", " ", "", "\t", "", "\r", "", "\n", "").Replace(link)
	return strings.TrimRight(link, `.,;:!?)>]}'"`)
}

// whole returns the packed text of a link without its mark, or what is wrong
// with it. Where the text is sound but its length is not as stated, the head
// was changed and the end is not missing.
func whole(letters string) ([]byte, error) {
	if len(letters) < headLetters {
		return nil, errCut
	}
	first, err := code.DecodeString(letters[:headLetters])
	if err != nil {
		return nil, errChanged
	}
	length := int(binary.BigEndian.Uint16(first))
	packed, err := code.DecodeString(letters[headLetters:])
	switch sound := err == nil && crc32.ChecksumIEEE(packed) == binary.BigEndian.Uint32(first[2:]); {
	case sound && len(packed) == length:
		return packed, nil
	case !sound && len(letters) < headLetters+code.EncodedLen(length):
		return nil, errCut
	}
	return nil, errChanged
}

func pack(text []byte) []byte {
	var packed bytes.Buffer
	w, _ := flate.NewWriter(&packed, flate.BestCompression) // fails only for levels that do not exist
	_, _ = w.Write(text)                                    // a buffer takes everything
	_ = w.Close()
	return packed.Bytes()
}

// unpack reads no more than a file may have, whatever the packed bytes claim.
func unpack(packed []byte) ([]byte, error) {
	from := bytes.NewReader(packed)
	text, err := io.ReadAll(io.LimitReader(flate.NewReader(from), drill.MaxFile+1))
	switch {
	case err == nil && len(text) > drill.MaxFile:
		return nil, errText
	case err != nil, from.Len() > 0:
		return nil, errChanged
	}
	return text, nil
}
