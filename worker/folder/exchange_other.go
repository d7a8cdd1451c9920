//go:build !linux

package folder

// exchange is not offered here; Write moves the old folder aside instead.
func exchange(_, _ string) error { return ErrNoExchange }
