/* SPDX-License-Identifier: MIT */
/* Writes the table of interlocks for docs/safety.md, from the heading "Every interlock" on. */
#include "outputs/interlock_page.h"

int main(void)
{
    write_interlocks(stdout);
    return fflush(stdout) == 0 ? 0 : 1;
}
