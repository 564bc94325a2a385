/* SPDX-License-Identifier: MIT */
/* The program: reads the command line, loads the module and hosts it. */
#include "hosts/ahead.h"
#include "hosts/check.h"
#include "hosts/console.h"
#include "hosts/fit.h"
#include "hosts/load.h"
#include "hosts/options.h"
#include "hosts/rehearse.h"
#include "hosts/run.h"
#include "hosts/tell.h"

#define OW_PROGRAM_VERSION "0.1.0"

static ow_status run_command(const ow_options *options, ow_report *report)
{
    ow_loaded loaded;
    ow_status status = ow_load(report, &loaded);
    if (status != OW_OK) {
        return status;
    }
    switch (options->command) {
    case OW_COMMAND_CHECK:
        status = ow_check(loaded.module, options->garden, options->weather, report);
        break;
    case OW_COMMAND_AHEAD:
        status = ow_ahead(loaded.module, options, report);
        break;
    case OW_COMMAND_FIT:
        status = ow_fit_command(loaded.module, options, report);
        break;
    case OW_COMMAND_REHEARSE:
        status = ow_rehearse(loaded.module, options, report);
        break;
    case OW_COMMAND_TELL:
        status = ow_tell(loaded.module, options, report);
        break;
    default:
        status = ow_run(loaded.module, options, report);
        break;
    }
    ow_unload(&loaded);
    return status;
}

static ow_status run(const ow_options *options, ow_report *report)
{
    ow_status status = OW_OK;
    if (options->command == OW_COMMAND_HELP) {
        fputs(ow_options_help(), stdout);
    } else if (options->command == OW_COMMAND_VERSION) {
        puts("overwinter " OW_PROGRAM_VERSION);
    } else {
        status = run_command(options, report);
    }
    ow_status flushed = ow_console_flush(report);
    return status != OW_OK ? status : flushed;
}

int main(int argc, char **argv)
{
    ow_options options;
    ow_console console;
    ow_console_start(&console, stderr);
    if (ow_options_read(argc, argv, &console.report, &options) != OW_OK) {
        return OW_EXIT_USAGE;
    }
    /* What a rehearsal prints is its result; what check says is its answer. */
    ow_console_start(&console, options.command == OW_COMMAND_CHECK ? stdout : stderr);
    return ow_console_exit(&console, run(&options, &console.report));
}
