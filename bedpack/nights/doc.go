// Package nights plans plates through the hours in which somebody is there to
// change them: which printer prints which plate, and when, so that the last
// plate ends as soon as can be.
//
// Three clocks are kept apart, each a Week of windows of the wall clock:
//
//   - attended hours: a change (emptying a plate and starting the next) takes
//     one person for a time, lies wholly within them, and is the only one at
//     that time, over all printers. The first plate of a printer needs one too.
//   - running hours, of each printer: a print, stretched by the reserve, lies
//     wholly within one stretch of them, and of the attended hours as well
//     unless unattended running is allowed.
//   - start hours: a print starts only then, a window's last moment included.
//
// Windows that touch or overlap are one stretch. A print may end while nobody
// is there; the plate then waits, and its printer with it. What a print takes
// beyond its forecast is only thought of when it is fitted into a window; what
// follows is planned by the forecast.
//
// Times are time.Time in Problem.Zone, whole seconds; lengths of prints are
// hours, others time.Duration. Between two moments real time passes: a night
// in which clocks are changed is an hour shorter or longer, see Week. Pure: no
// goroutine, file, clock, logger or package state.
//
// Called by worker, which converts the windows of the shop file. It does not
// pack plates, does not know meshes, and refuses to plan what it is not told:
// a plate without hours on any printer comes back with a reason.
//
// How Plan goes about it:
//
//  1. The problem becomes whole seconds, plates and printers by name
//     (model.go). Plates that no usual week has room for are refused
//     (judge.go); pinned ones are put (pin.go).
//  2. The weeks are laid on the line of time (clock.go); from them follow the
//     slots in which the change of a plate may begin on a printer (slot.go).
//     All else asks only for the next slot (track.go).
//  3. Lower bounds: a plate alone, the person alone (bound.go); each printer
//     with a person to itself, exactly, for 14 plates or fewer (apart.go);
//     prices of plates and fees of the person's minutes (price.go).
//  4. Of 14 plates or fewer all plans are looked at, plate by plate, those left
//     out that another beats or that cannot end in time (exact.go).
//  5. Of more plates, lists by printer are searched (search.go) and put in
//     order of their changes (decode.go), then tidied: same end, lesser cost
//     (cost.go).
//
// How near it comes, 60 plates on 5 printers, ten random shops of each kind
// (BenchmarkNights60, 4 to 5 s a plan on one core of a shared Xeon): longer
// than the bound by 1.7 % in the mean and 3.7 % at the worst when the maker is
// at home 08:00-22:00 and printers run overnight; 1.6 and 2.1 % when nothing
// runs unattended; 3.3 and 9.0 % when somebody is there an hour and a half in
// the morning and in the evening; 3.2 and 6.9 % with free weekends besides. The
// high ones are plans whose last plate misses the last window before a night
// or a working day, while the bound, which may cut plates in pieces, does not;
// which of the two is to blame is not known. Five times the search brings next
// to nothing there.
//
// Verify checks a schedule and shares no code with the planner. Deadline says
// what holds a plan up, Complete when sub-assemblies are. ShareRuns answers
// another question, exactly: which parts share a run at best.
package nights
