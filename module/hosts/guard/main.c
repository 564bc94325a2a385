/* SPDX-License-Identifier: MIT */
/* The guard's command line: overwinter-guard GARDEN [--pace N] */
#include <stdlib.h>
#include <string.h>

#include "hosts/clocks.h"
#include "hosts/console.h"
#include "hosts/guard/guard.h"
#include "hosts/load.h"

static const char help[] =
    "overwinter-guard says off to every output of a garden while nobody minds it.\n"
    "\n"
    "  overwinter-guard GARDEN [--pace N]\n"
    "\n"
    "GARDEN is the file that overwinter run has; best on another machine, with a\n"
    "user of its own at the broker. --pace N: a clock N times as fast (1 to 20000),\n"
    "only with a broker on this machine. SIGHUP reads the file anew; SIGTERM ends it.\n"
    "An addition to each device's own off-timer, never a substitute.\n"
    "\n"
    "Exit: 0 stopped; 1 the garden file is wrong; 2 the command line is wrong; 3 the\n"
    "machine failed.\n";

struct words {
    const char *garden;
    int pace;
};

static bool take_pace(const char *text, int *pace)
{
    size_t digits = text == NULL ? 0 : strspn(text, "0123456789");
    if (digits == 0 || digits > 6 || text[digits] != '\0') {
        return false;
    }
    *pace = atoi(text);
    return *pace >= 1 && *pace <= OW_PACE_MOST;
}

static void read_words(int argc, char **argv, ow_report *report, struct words *words)
{
    for (int i = 1; i < argc; i++) {
        bool pace = strcmp(argv[i], "--pace") == 0;
        bool joined = strncmp(argv[i], "--pace=", 7) == 0;
        if (pace || joined) {
            i += pace && i + 1 < argc ? 1 : 0;
            if (!take_pace(joined ? argv[i] + 7 : argv[i], &words->pace)) {
                ow_error(report, "overwinter-guard: --pace takes a whole number, 1 to %d",
                         OW_PACE_MOST);
            }
        } else if (argv[i][0] == '-') {
            ow_error(report, "overwinter-guard: option %.60s is not known; there is --pace",
                     argv[i]);
        } else if (words->garden != NULL) {
            ow_error(report, "overwinter-guard: %.60s is one word too many", argv[i]);
        } else {
            words->garden = argv[i];
        }
    }
    if (words->garden == NULL) {
        ow_error(report, "overwinter-guard: say which GARDEN; see overwinter-guard --help");
    }
}

static ow_status run(const struct words *words, ow_report *report)
{
    ow_loaded loaded;
    ow_status status = ow_load(report, &loaded);
    if (status != OW_OK) {
        return status;
    }
    status = ow_guard_run(loaded.module, words->garden, words->pace, report);
    ow_unload(&loaded);
    return status;
}

int main(int argc, char **argv)
{
    struct words words = {.pace = 1};
    ow_console console;
    ow_console_start(&console, stderr);
    for (int i = 1; i < argc; i++) {
        if (strcmp(argv[i], "--help") == 0) {
            fputs(help, stdout);
            return ow_console_exit(&console, ow_console_flush(&console.report));
        }
    }
    read_words(argc, argv, &console.report, &words);
    if (console.report.errors > 0) {
        return OW_EXIT_USAGE;
    }
    return ow_console_exit(&console, run(&words, &console.report));
}
