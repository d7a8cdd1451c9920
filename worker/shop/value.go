package shop

import (
	"fmt"
	"strconv"
	"strings"
	"time"
	"unicode"
	"unicode/utf8"

	"github.com/pelletier/go-toml/v2"
)

// typeName returns what a person would call the type of a TOML value.
func typeName(v any) string {
	switch v.(type) {
	case string:
		return "text"
	case bool:
		return "true or false"
	case int64:
		return "a whole number"
	case float64:
		return "a number"
	case []any:
		return "a list"
	case map[string]any:
		return "a table"
	case toml.LocalTime:
		return "a time of day"
	case toml.LocalDate, toml.LocalDateTime, time.Time:
		return "a date"
	}
	panic(fmt.Sprintf("shop: TOML gave a %T", v))
}

// literal returns a value as TOML writes it. A table is shown as {…}: it is
// never written, only named in a fault.
func literal(v any) string {
	switch v := v.(type) {
	case nil:
		return ""
	case string:
		return quoted(v)
	case float64:
		return decimal(v)
	case map[string]any:
		return "{…}"
	case time.Time:
		return v.Format(time.RFC3339)
	case []any:
		items := make([]string, len(v))
		for i, one := range v {
			items[i] = literal(one)
		}
		return "[" + strings.Join(items, ", ") + "]"
	}
	return fmt.Sprint(v)
}

// decimal returns the shortest text that reads back as x, in TOML's spelling
// of the numbers that are not finite.
func decimal(x float64) string {
	if x != x {
		return "nan"
	}
	return strings.ToLower(strconv.FormatFloat(x, 'f', -1, 64))
}

// quoted returns s as a basic string of TOML.
//
// Source: TOML 1.0.0, section String.
func quoted(s string) string {
	var b strings.Builder
	b.WriteByte('"')
	for _, r := range s {
		switch {
		case r == '"', r == '\\':
			b.WriteByte('\\')
			b.WriteRune(r)
		case unicode.IsControl(r), !unicode.IsGraphic(r):
			fmt.Fprintf(&b, `\U%08X`, r)
		default:
			b.WriteRune(r)
		}
	}
	b.WriteByte('"')
	return b.String()
}

// shorten cuts s to n runes, the last of them an ellipsis when it was longer.
func shorten(s string, n int) string {
	if utf8.RuneCountInString(s) <= n {
		return s
	}
	return string([]rune(s)[:n-1]) + "…"
}

const longestName = 60

// title is the kind of a name that is also used in file names: what no common
// file system refuses.
var title = text{
	right: fmt.Sprintf("1 to %d signs, none of them / \\ : * ? \" < > | nor a control character, no space or dot at either end", longestName),
	rule:  ruleOfTitle,
}

func ruleOfTitle(s string) string {
	switch {
	case s == "":
		return "empty"
	case utf8.RuneCountInString(s) > longestName:
		return "too long"
	case strings.Trim(s, " .") != s:
		return "a space or dot at an end"
	case strings.ContainsAny(s, `/\:*?"<>|`):
		return "a sign that file names cannot hold"
	case strings.ContainsFunc(s, func(r rune) bool { return !unicode.IsGraphic(r) }):
		return "a control character"
	}
	return ""
}
