/* SPDX-License-Identifier: MIT */
/*
 * How a function says that it failed, and where messages for people go.
 *
 * A function that can fail returns ow_status and is marked OW_CHECK, so that the compiler refuses
 * a caller who looks away. On failure outputs are left untouched unless the header says otherwise.
 * The words for people go to an ow_report, one whole line a call, so that every fault of an input
 * is told in one go.
 */
#ifndef OVERWINTER_STATUS_H
#define OVERWINTER_STATUS_H

#define OW_CHECK __attribute__((warn_unused_result))
#define OW_PRINTF(format_at, first_at) __attribute__((format(printf, format_at, first_at)))

#define OW_STATUS_LIST(X)                                                                          \
    X(OW_OK, "done")                                                                               \
    X(OW_BAD_INPUT, "the input is wrong; the lines above say where")                               \
    X(OW_NO_MEMORY, "out of memory")                                                               \
    X(OW_FULL, "more things than this build has room for")                                         \
    X(OW_NOT_FOUND, "no such thing")                                                               \
    X(OW_NO_CONVERGENCE, "an iteration did not settle")                                            \
    X(OW_IO, "a file could not be read or written")

typedef enum ow_status {
#define OW_STATUS_ENUM(name, text) name,
    OW_STATUS_LIST(OW_STATUS_ENUM)
#undef OW_STATUS_ENUM
} ow_status;

/* The status in words; never NULL. */
const char *ow_status_text(ow_status status);

/*
 * Where lines for people go. `line` gets a zero-terminated text without a newline, valid during
 * the call. `errors` counts the calls of ow_error. The owner of `self` is the caller.
 */
typedef struct ow_report {
    void (*line)(void *self, const char *text);
    void *self;
    int errors;
} ow_report;

/* One error line, printf-style, at most 500 characters; counts it. A NULL report is allowed. */
void ow_error(ow_report *report, const char *format, ...) OW_PRINTF(2, 3);

/* One line that is no error (an advice, an answer). A NULL report is allowed. */
void ow_say(ow_report *report, const char *format, ...) OW_PRINTF(2, 3);

#endif
