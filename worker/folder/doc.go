// Package folder writes an output folder, or a single file, whole or not at
// all: after a crash, a full disk or a power cut at any moment the old result
// or the new one is there, complete.
//
// A new folder is filled beside its target under another name, every file and
// folder in it is forced to the disk, and then two names are swapped. Where the
// system can exchange two names in one step there is no moment without a
// result. Where it cannot, the old folder is moved aside first; a crash between
// the two moves is undone by Recover, which Write also does before it begins.
// Write and WriteFile hold a lock file beside the target, so that a second run
// is told ErrBusy and cannot clear away what the first one is still writing.
//
// What Write made, it lists in a file named by Manifest inside the folder. It
// refuses to replace a folder that holds any file not on that list, so that a
// wrong target, or work that somebody saved among the results, is never lost.
//
// Called by worker. It does not know what the files mean, makes no folders
// above the target, follows no symbolic link, and keeps no earlier version.
package folder
