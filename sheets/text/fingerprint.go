package text

import (
	"bytes"
	"crypto/sha256"
	"encoding/hex"
)

// Fingerprint returns what tells one text of a sheet from another. Layout and line ends do not count.
func Fingerprint(sheet []byte) string {
	f, _ := Parse(NewSource("sheet", bytes.ReplaceAll(sheet, []byte("\r\n"), []byte("\n"))))
	sum := sha256.Sum256(Format(f))
	return hex.EncodeToString(sum[:16])
}
