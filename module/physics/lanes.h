/* SPDX-License-Identifier: MIT */
/*
 * What makes vector instructions of plain loops over lanes: functions in two builds, of which the
 * processor gets the one that it can, and both give the same last bit. What such loops call must be
 * inline.
 */
#ifndef OVERWINTER_PHYSICS_LANES_H
#define OVERWINTER_PHYSICS_LANES_H

/* For functions of one file: clang finds those of others only without it. */
#if defined(__x86_64__) && !defined(OW_NO_CLONES)
#define OW_CLONES __attribute__((target_clones("arch=x86-64-v3", "default")))
#else
#define OW_CLONES
#endif
#define OW_INLINE static inline __attribute__((always_inline))

/* gcc makes vectors of all such loops when told so; clang of those it can, and complains of the
 * others if told. */
#ifdef __clang__
#define OW_VECTORISE(how)
#else
#define OW_VECTORISE(how) _Pragma(how)
#endif

#endif
