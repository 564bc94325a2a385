/* SPDX-License-Identifier: MIT */
/*
 * Every sentence that the garden says, with a code: whoever shows it can say it in another language
 * by that code (see speech.h). The page takes its English from this list, from OW_CHORE_LIST
 * ("chore-...") and from OW_INTERLOCK_LIST ("block-...", "clear-..."), and has the other languages
 * in module/tile/src/sayings/.
 *
 * {0} to {7} are blanks. {0:they are|it is} takes the first where blank 0 is more than one thing.
 */
#ifndef OVERWINTER_JUDGEMENT_SAYINGS_H
#define OVERWINTER_JUDGEMENT_SAYINGS_H

/* clang-format off */
#define OW_SAYING_LIST(X)                                                                          \
    /* what is asked */                                                                            \
    X(OW_SAY_UNCOVER, "uncover", "take the covers off")                                            \
    X(OW_SAY_CARRY, "carry", "carry to {0}")                                                       \
    X(OW_SAY_CARRY_THAW, "carry-thaw", "carry to {0} to thaw slowly")                              \
    X(OW_SAY_CARRY_BACK, "carry-back", "carry back to {0}")                                        \
    X(OW_SAY_CARRY_BACK_THAW, "carry-back-thaw", "carry back to {0} to thaw slowly")               \
    X(OW_SAY_CARRY_BACK_FOR, "carry-back-for", "carry back to {0}, to make room for {1}")          \
    X(OW_SAY_CARRY_MORE, "carry-more", "carry to {0}{1}")                                          \
    X(OW_SAY_CARRY_THAW_MORE, "carry-thaw-more", "carry to {0}{1} to thaw slowly")                 \
    X(OW_SAY_KEPT_AT, "kept-at", ", kept at {0}")                                                  \
    X(OW_SAY_IN_PLACE_OF, "in-place-of", " in place of {0}")                                       \
    X(OW_SAY_COVER, "cover", "cover with {0}")                                                     \
    X(OW_SAY_WRAP_POINT, "wrap-point", "wrap the growing point with {0}")                          \
    X(OW_SAY_COVER_FROM, "cover-from", "cover with {0}, taken from {1}")                           \
    X(OW_SAY_WRAP_POINT_FROM, "wrap-point-from",                                                   \
      "wrap the growing point with {0}, taken from {1}")                                           \
    X(OW_SAY_SHED, "shed", "take {0} off")                                                         \
    X(OW_SAY_SHED_FOR, "shed-for", "take {0} off, for {1}")                                        \
    X(OW_SAY_WATER, "water", "water it through while it is thawed")                                \
    X(OW_SAY_SENSORS, "sensors", "look after the sensors")                                         \
    X(OW_SAY_LOOK_ALIVE, "look-alive", "look whether it is alive, regrowing or dead")              \
    X(OW_SAY_FIND_THAW, "find-thaw", "bring it where it can thaw slowly")                          \
    X(OW_SAY_FIND_SHELTER, "find-shelter", "find it shelter")                                      \
    X(OW_SAY_COVER_IT, "cover-it", "cover it")                                                     \
    X(OW_SAY_LEAVE_THAWING, "leave-thawing", "it is thawing, leave it where it is")                \
    X(OW_SAY_CARRY_HOME, "carry-home", "carry it back to its place")                               \
    X(OW_SAY_DRAIN, "drain", "drain hose, tap and butt before they freeze")                        \
    /* why: the cold ahead */                                                                      \
    X(OW_SAY_LATE, "late", "It is late.")                                                          \
    X(OW_SAY_THREAT_WILL, "threat-will",                                                           \
      "The {0} will fall to {1} by {2}; {0:they are|it is} harmed from {3}{4}{5}{6}.")                 \
    X(OW_SAY_THREAT_MAY, "threat-may",                                                             \
      "The {0} may fall to {1} by {2}; {0:they are|it is} harmed from {3}{4}{5}{6}.")                  \
    X(OW_SAY_IN_AIR, "in-air", " in the air")                                                      \
    X(OW_SAY_GROWERS, "growers", " (growers' word)")                                               \
    X(OW_SAY_SOFTENED, "softened", ", softened: {0} warmer than in midwinter")                     \
    X(OW_SAY_UNHARDENED, "unhardened", ", not yet hardened: {0} warmer than in midwinter")         \
    X(OW_SAY_RISK, "risk", "A limit is passed in {0} of {1} runs ahead.")                          \
    X(OW_SAY_DROUGHT, "drought",                                                                   \
      "The root ball will freeze through by {0} and no water will move; it suffers from {1} "      \
      "({2} days).")                                                                               \
    X(OW_SAY_DROUGHT_THEN, "drought-then",                                                         \
      "The root ball will freeze through by then and no water will move; it suffers from {0} "     \
      "({1} days).")                                                                               \
    /* why: what helps, and what is short */                                                       \
    X(OW_SAY_NO_HELP, "no-help", "No cover and no place in this garden prevents it.")              \
    X(OW_SAY_EASED_DRY, "eased-dry", "With {0} it does not come to that.")                         \
    X(OW_SAY_EASED, "eased", "With {0}: {1}.")                                                     \
    X(OW_SAY_EASED_PART, "eased-part",                                                             \
      "Nothing at hand prevents all of it; {0} does most: {1}.")                                   \
    X(OW_SAY_WITH_WATER, "with-water", "water")                                                    \
    X(OW_SAY_WITH_HEAT, "with-heat", "more heat")                                                  \
    X(OW_SAY_HEATED, "heated",                                                                     \
      "The {0} would fall to {1}, harmed from {2}: the heater keeps {3} at {4} for it from "           \
      "{5}{6}.")                                                                                   \
    X(OW_SAY_HEATED_SO, "heated-so", ", so {0}")                                                   \
    X(OW_SAY_NO_HEAT, "no-heat", "More heat would help, but the heater cannot be counted on.")     \
    X(OW_SAY_GIVES_COVER, "gives-cover", "Its {0} saves more on {1}.")                             \
    X(OW_SAY_GIVES_ROOM, "gives-room", "Its room saves more for {0}.")                             \
    X(OW_SAY_GIVING_HARMS, "giving-harms", "It may be harmed for that, which weighs less.")        \
    X(OW_SAY_GIVING_SPARES, "giving-spares", "It has {0} to spare without.")                       \
    X(OW_SAY_NO_STOCK, "no-stock", "No {0} is left.")                                              \
    X(OW_SAY_NO_STOCK_WHO, "no-stock-who", "No {0} is left: it goes to {1}.")                      \
    X(OW_SAY_NO_ROOM, "no-room", "No room is left in {0}.")                                        \
    X(OW_SAY_NO_ROOM_WHO, "no-room-who", "No room is left in {0}: it goes to {1}.")                \
    X(OW_SAY_BUSY_HANDS, "busy-hands", "The hands there are until then are needed elsewhere.")     \
    X(OW_SAY_TOO_HEAVY, "too-heavy", "It is too heavy for anyone to carry.")                       \
    X(OW_SAY_FROZEN_DOWN, "frozen-down", "It is frozen to the ground: force nothing.")             \
    X(OW_SAY_NO_HANDS, "no-hands", "No hands are free before it is too late.")                     \
    X(OW_SAY_TURN, "turn", "Its turn there comes by {0}, after {1}.")                              \
    /* why: frozen roots */                                                                        \
    X(OW_SAY_THAW_SUFFERS, "thaw-suffers",                                                         \
      "The root ball has been frozen through for {0} days and no water moves; it suffers after "   \
      "{1} days and may die after {2}.")                                                           \
    X(OW_SAY_THAW_BRIEF, "thaw-brief",                                                             \
      "The root ball has been frozen through for {0} days and no water moves; it suffers from "    \
      "{1} ({2} days) and thaws too briefly before.")                                              \
    X(OW_SAY_THAW_NOT, "thaw-not",                                                                 \
      "The root ball has been frozen through for {0} days and no water moves; it suffers from "    \
      "{1} ({2} days) and will not thaw before.")                                                  \
    X(OW_SAY_THAW_HALF, "thaw-half", "So done now, half its ice is gone by {0}.")                  \
    X(OW_SAY_THAW_GONE, "thaw-gone",                                                               \
      "So done now, half its ice is gone by {0} and all of it by {1}.")                            \
    X(OW_SAY_THAW_WARM, "thaw-warm",                                                               \
      "That room is rather warm: keep it shaded there, far from any heater.")                      \
    X(OW_SAY_THAW_CALM, "thaw-calm", "No heater and no sun on it meanwhile.")                      \
    X(OW_SAY_THAWING, "thawing",                                                                   \
      "The root ball was frozen through for {0} days; water moves again in {1} % of it, {2} % of " \
      "its water is still ice.")                                                                   \
    X(OW_SAY_THAWING_OVER, "thawing-over", "Over it by {0}.")                                      \
    X(OW_SAY_THAWING_AGAIN, "thawing-again", "It will freeze again and suffers from {0}.")         \
    X(OW_SAY_FROZEN_WELL, "frozen-well",                                                           \
      "The root ball has been frozen through for {0} days, which it stands.")                      \
    X(OW_SAY_FROZEN_THAWS, "frozen-thaws",                                                         \
      "The root ball has been frozen through for {0} days, which it stands; it begins to thaw by " \
      "itself by {1}.")                                                                            \
    /* why: after harm, in mild weather, on hold */                                                \
    X(OW_SAY_HARMED, "harmed", "The {0} fell to {1} on {2}, past the limit of harm.")                  \
    X(OW_SAY_KILLED, "killed", "The {0} fell to {1} on {2}, past the limit of what kills.")            \
    X(OW_SAY_WAIT, "wait",                                                                         \
      "Leave the plant alone, cut and throw out nothing, and look again on {0}.")                  \
    X(OW_SAY_LOOK_NOW, "look-now",                                                                 \
      "What lived can show since {0}: look, and say whether it is alive, regrowing or dead.")      \
    X(OW_SAY_STAY_ROTS, "stay-rots",                                                               \
      "Left on, damp air below them makes it rot: {0} mild days are borne.")                       \
    X(OW_SAY_STAY_DARK, "stay-dark", "Left on, it lacks light: {0} mild days are borne.")          \
    X(OW_SAY_MILD_COVERS, "mild-covers",                                                           \
      "Not colder than {0} until {1}: covers now only cost light and air.")                        \
    X(OW_SAY_MILD_BACK, "mild-back",                                                               \
      "Not colder than {0} until {1}: it can go back to its place.")                               \
    X(OW_SAY_HARDENING, "hardening",                                                               \
      "Hardening off: out by day, in at night; {0} of {1} days done.")                             \
    X(OW_SAY_DROOP, "droop", "Leaves that hang in frost are a defence, not damage.")               \
    X(OW_SAY_BLIND, "blind",                                                                       \
      "Nothing is known of the hours ahead, so no warning can be given.")                          \
    X(OW_SAY_NOTHING, "nothing", "Nothing to do.")                                                 \
    X(OW_SAY_TOUCHES, "touches",                                                                   \
      "Nothing more to do: {0} will touch {1} by {2}, not for long enough to harm.")               \
    X(OW_SAY_SAFE_BARE, "safe-bare",                                                               \
      "Nothing to do: the coldest ahead is {0} at {1} by {2}, {3} to spare.")                      \
    X(OW_SAY_SAFE_COVERED, "safe-covered",                                                         \
      "Covered and safe: the coldest ahead is {0} at {1} by {2}, {3} to spare.")                   \
    X(OW_SAY_BLOWN, "blown", "The wind may have taken {0}: look.")                                 \
    X(OW_SAY_UNMEASURED, "unmeasured",                                                             \
      "The air has gone unmeasured for over six hours: nothing here can be vouched for.")          \
    X(OW_SAY_NO_READING, "no-reading", "No reading of the air has come in yet.")                   \
    X(OW_SAY_STARTED, "started",                                                                   \
      "Just started: the garden is looked at as soon as a reading of the air comes in.")           \
    /* tonight */                                                                                  \
    X(OW_SAY_LOWEST, "lowest", "Lowest {0} by {1}{2}.")                                            \
    X(OW_SAY_ON_NORMAL_ENDS, "on-normal-ends",                                                     \
      " if the weather returns to the season's normal (the forecast ends before)")                 \
    X(OW_SAY_ON_NORMAL, "on-normal",                                                               \
      " if the weather returns to the season's normal (no fresh forecast)")                        \
    X(OW_SAY_ON_LAST_DAY, "on-last-day", " if the last day comes again (no fresh forecast)")       \
    X(OW_SAY_ON_CLEAR, "on-clear", " if the sky stays clear (no fresh forecast)")                  \
    X(OW_SAY_ON_BELOW, "on-below", " ({0} below the forecast, as learned here)")                   \
    X(OW_SAY_ON_ABOVE, "on-above", " ({0} above the forecast, as learned here)")                   \
    X(OW_SAY_UNKNOWN_AHEAD, "unknown-ahead", "Nothing is known of the hours ahead.")               \
    X(OW_SAY_FIRST, "first", "First: {0}, {1} by {2}; {3} min in all.")                            \
    X(OW_SAY_NOT_URGENT, "not-urgent", "Nothing urgent; {0} min in all.")                          \
    /* notices */                                                                                  \
    X(OW_SAY_ASK, "ask", "{0}: {1}.")                                                              \
    X(OW_SAY_ASK_BY, "ask-by", "{0}: {1} by {2}.")                                                 \
    X(OW_SAY_ASK_LATE, "ask-late", "{0}: {1} at once, it is late.")                                \
    X(OW_SAY_ELSE_KILLED, "else-killed", "If nothing is done, part of it is killed.")              \
    X(OW_SAY_ELSE_HARMED, "else-harmed", "If nothing is done, it is harmed.")                      \
    X(OW_SAY_ELSE_DRY, "else-dry",                                                                 \
      "If nothing is done, it dries out, since its roots are frozen.")                             \
    X(OW_SAY_BLOCKED, "blocked", "{0}: {1}.")                                                      \
    X(OW_SAY_ALSO_BLOCKED, "also-blocked", "Also: {0}.")                                           \
    X(OW_SAY_WHAT_TO_DO, "what-to-do", "What to do: {0}.")                                         \
    X(OW_SAY_NOT_HELD, "not-held",                                                                 \
      "{0}: its heaters cannot hold {1} tonight. With all of them on the air falls to about {2} "  \
      "({3}), {4} lower. What to do: before dark, carry out of it or cover what bears less, close "\
      "what leaks.")                                                                               \
    X(OW_SAY_READINGS_PART, "readings-part",                                                       \
      "Two readings of the same thing outdoors differ too much: see which sensor errs. Their "     \
      "middle is used meanwhile.")                                                                 \
    X(OW_SAY_READING_STUCK, "reading-stuck",                                                       \
      "The reading {0} has said the same to the last digit for hours: see to its sensor.")         \
    X(OW_SAY_FORECAST_PARTS, "forecast-parts",                                                     \
      "The air outdoors has been far from the forecast for an hour: see to the thermometer, and "  \
      "whether the forecast is meant for this garden. What is said of the hours ahead may be as "  \
      "far off.")                                                                                  \
    /* what a person said is refused */                                                            \
    X(OW_SAY_NOT_A_PLACE, "not-a-place", "it must be one of {0}")                                  \
    X(OW_SAY_NOT_YET, "not-yet", "no reading has come in yet; say it again when one has")          \
    X(OW_SAY_IN_A_BED, "in-a-bed", "this plant stands in a bed and cannot be carried")             \
    X(OW_SAY_PLACE_FULL, "place-full", "there is no room left; see room_for in the garden file")   \
    X(OW_SAY_NOT_A_LIST, "not-a-list",                                                             \
      "it must be a JSON list of cover ids, such as [\"fleece\"] or []")                           \
    X(OW_SAY_NOT_A_COVER, "not-a-cover", "it names a cover that the garden file does not have")    \
    X(OW_SAY_COVER_TWICE, "cover-twice", "it names a cover twice")                                 \
    X(OW_SAY_COVERS_IN_USE, "covers-in-use",                                                       \
      "all covers of that kind are in use; see count in the garden file")                          \
    X(OW_SAY_SIX_COVERS, "six-covers", "a plant can wear six covers at most")                      \
    X(OW_SAY_NO_JOB, "no-job", "no job is asked for on this plant now")                            \
    X(OW_SAY_OTHER_JOB, "other-job", "the job asked for now is \"{0}\"")                           \
    X(OW_SAY_JOB_IN_USE, "job-in-use",                                                             \
      "the covers or the room that it needs are in use; say where things are now")                 \
    X(OW_SAY_NO_GARDEN_JOB, "no-garden-job", "no such job is asked for in the garden now")         \
    X(OW_SAY_NOT_DONE, "not-done",                                                                 \
      "it must be a JSON object with the texts \"job\" and \"who\"")                               \
    X(OW_SAY_NOT_SEEN, "not-seen", "it must be alive, regrowing or dead")                          \
    X(OW_SAY_WHO_RELEASES, "who-releases", "it must say who releases it")                          \
    X(OW_SAY_STOP_TRUE, "stop-true",                                                               \
      "it must be true; what is stopped is released output by output")                             \
    X(OW_SAY_NO_OUTPUTS, "no-outputs", "the garden file names no outputs that could be stopped")   \
    X(OW_SAY_NO_NOTICE, "no-notice", "no such notice stands")                                      \
    X(OW_SAY_NOT_SETTABLE, "not-settable", "it cannot be set")                                     \
    /* the tile */                                                                                 \
    X(OW_SAY_TILE_STATE, "tile-state", "{0}")                                                      \
    X(OW_SAY_TILE_HEAD, "tile-head", "{0}: {1}")                                                   \
    X(OW_SAY_TILE_HEAD_MORE, "tile-head-more", "{0}: {1}, {2} more")                            \
    X(OW_SAY_TILE_LOWEST, "tile-lowest", "Lowest {0} outdoors by {1}")                             \
    X(OW_SAY_TILE_NOW, "tile-now", "{0}")                                                          \
    X(OW_SAY_TILE_NOW_MORE, "tile-now-more", "{0} more \xc2\xb7 {1}")                              \
    X(OW_SAY_TILE_NEXT, "tile-next", "Next")                                                       \
    X(OW_SAY_TILE_IDLE, "tile-idle", "nothing to do")                                              \
    X(OW_SAY_TILE_JOB, "tile-job", "{0}: {1}")                                                     \
    X(OW_SAY_TILE_BY, "tile-by", "by {0}")                                                         \
    X(OW_SAY_TILE_LATE, "tile-late", "late since {0}")                                             \
    X(OW_SAY_TILE_NO_HURRY, "tile-no-hurry", "no hurry")                                           \
    X(OW_SAY_TILE_JOBS, "tile-jobs", "{0} jobs, {1} min in all")                                   \
    X(OW_SAY_TILE_DOES, "tile-does", "{0}: {1}")                                                   \
    X(OW_SAY_TILE_DOES_BLOCKED, "tile-does-blocked", "{0}: {1}; {2}")                              \
    X(OW_SAY_TILE_BLOCKED, "tile-blocked", "{0}: {1}")                                             \
    X(OW_SAY_TILE_UNTOLD, "tile-untold", "{0}: not commanded yet")                                 \
    X(OW_SAY_TILE_MORE, "tile-more", "+{0} more")                                                  \
    X(OW_SAY_TILE_MARGIN, "tile-margin", "{0} {1}")                                                \
    X(OW_SAY_TILE_ICE, "tile-ice", "ice")                                                          \
    X(OW_SAY_TILE_NEAREST, "tile-nearest", "nearest its limit")                                    \
    X(OW_SAY_TILE_RIBBON, "tile-ribbon", "K to it, next 72 h")                                     \
    X(OW_SAY_TILE_COLD, "tile-cold", "{0}")                                                        \
    X(OW_SAY_TILE_PLANT, "tile-plant", "{0}: {1}.")                                                \
    X(OW_SAY_TILE_ROOT, "tile-root", "Root ball {0}, {1} percent ice.")                            \
    X(OW_SAY_TILE_NEAR_ABOVE, "tile-near-above", "Nearest its limit: {0}, {1} above it.")          \
    X(OW_SAY_TILE_NEAR_BELOW, "tile-near-below", "Nearest its limit: {0}, {1} below it.")          \
    X(OW_SAY_TILE_LEAST_ABOVE, "tile-least-above",                                                 \
      "Least in the next 72 hours: {0} above a limit, about {1}.")                                 \
    X(OW_SAY_TILE_LEAST_BELOW, "tile-least-below",                                                 \
      "Least in the next 72 hours: {0} below a limit, about {1}.")
/* clang-format on */

typedef enum ow_saying {
#define OW_SAYING_ENUM(name, code, english) name,
    OW_SAYING_LIST(OW_SAYING_ENUM)
#undef OW_SAYING_ENUM
        OW_SAYINGS
} ow_saying;

#endif
