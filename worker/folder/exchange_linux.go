package folder

import (
	"errors"
	"fmt"

	"golang.org/x/sys/unix"
)

// exchange swaps two names in one step.
//
// Source: Linux manual page renameat2(2), RENAME_EXCHANGE, which returns EINVAL
// on a file system that does not support the flag and ENOSYS on a kernel
// without the call.
func exchange(a, b string) error {
	err := unix.Renameat2(unix.AT_FDCWD, a, unix.AT_FDCWD, b, unix.RENAME_EXCHANGE)
	switch {
	case err == nil:
		return nil
	case errors.Is(err, unix.EINVAL), errors.Is(err, unix.ENOSYS), errors.Is(err, unix.ENOTSUP):
		return ErrNoExchange
	}
	return fmt.Errorf("exchange %s and %s: %w", a, b, err)
}
