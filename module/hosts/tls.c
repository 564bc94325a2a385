/* SPDX-License-Identifier: MIT */
#define _POSIX_C_SOURCE 200809L

#include "hosts/tls.h"

#include <errno.h>
#include <fcntl.h>
#include <stdio.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

#include <mosquitto.h>

#include "hosts/credentials.h"

/* ---- setting up ------------------------------------------------------------------------------ */

static bool is_private(int fd, const char *path, char fault[OW_TLS_TEXT])
{
    struct stat info = {0};
    if (fstat(fd, &info) == 0 && (info.st_mode & OW_MODE_OTHERS) == 0) {
        return true;
    }
    snprintf(fault, OW_TLS_TEXT,
             "broker.key_file is \"%.400s\", with mode %03o, so others than its owner can reach the "
             "key; 600 or less is allowed: chmod 600 \"%.400s\"",
             path, (unsigned)info.st_mode & 0777, path);
    return false;
}

/* The library would only say "invalid argument", and would use a key that all can read. */
static bool can_be_used(const char *key, const char *path, bool secret, char fault[OW_TLS_TEXT])
{
    if (path == NULL) {
        return true;
    }
    /* Not blocking, so that a pipe under that name does not hold us up. */
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NONBLOCK);
    if (fd < 0) {
        snprintf(fault, OW_TLS_TEXT,
                 "broker.%s is \"%.500s\", which cannot be read: %s; give the path of a PEM file "
                 "that this user may read",
                 key, path, strerror(errno));
        return false;
    }
    bool usable = !secret || is_private(fd, path, fault);
    close(fd); /* was only looked at */
    return usable;
}

/* A key with a password of its own would ask at a terminal that is not there. */
static int no_key_password(char *text, int size, int writing, void *self)
{
    (void)text;
    (void)size;
    (void)writing;
    (void)self;
    return 0;
}

bool ow_tls_set_up(struct mosquitto *mosq, const ow_link *link, char fault[OW_TLS_TEXT])
{
    enum { VERIFY_PEER = 1 };
    if (!ow_wants_tls(link)) {
        return true;
    }
    if (!can_be_used("ca_file", link->ca_file, false, fault) ||
        !can_be_used("cert_file", link->cert_file, false, fault) ||
        !can_be_used("key_file", link->key_file, true, fault)) {
        return false;
    }
    int rc = mosquitto_tls_set(mosq, link->ca_file, NULL, link->cert_file, link->key_file,
                               no_key_password);
    rc = rc != MOSQ_ERR_SUCCESS ? rc : mosquitto_tls_opts_set(mosq, VERIFY_PEER, NULL, NULL);
    rc = rc != MOSQ_ERR_SUCCESS ? rc : mosquitto_tls_insecure_set(mosq, false);
    if (rc != MOSQ_ERR_SUCCESS) {
        snprintf(fault, OW_TLS_TEXT,
                 "broker: TLS cannot be set up: %s; see ca_file, cert_file and key_file",
                 mosquitto_strerror(rc));
    }
    return rc == MOSQ_ERR_SUCCESS;
}

/* ---- what went wrong ------------------------------------------------------------------------- */

typedef enum named { HOST, CA_FILE, CERT_FILE, KEY_FILE, NAMED } named;

static const char *value_of(const ow_link *link, named key)
{
    const char *const values[NAMED] = {[HOST] = link->host,
                                       [CA_FILE] = link->ca_file,
                                       [CERT_FILE] = link->cert_file,
                                       [KEY_FILE] = link->key_file};
    return values[key] != NULL ? values[key] : "";
}

/* Words of the library and of OpenSSL below it, and what they mean here; the first that fits. */
static const struct {
    const char *said;
    named key;
    const char *mend;
} faults[] = {
    {"host name verification", HOST,
     "which is no name or address in the broker's certificate; give one that is"},
    {"load CA certificates", CA_FILE, "which holds no certificates; give a PEM file that does"},
    {"load client certificate", CERT_FILE, "which holds no certificate; give a PEM file that does"},
    {"load client key", KEY_FILE,
     "which is not the key, without a password, of the certificate in cert_file; give that one"},
    {"certificate verify failed", CA_FILE,
     "which does not vouch for the broker's certificate, or one of them is out of date; give the "
     "authority that signed it, and see this machine's clock"},
};

static const char *const key_names[NAMED] = {[HOST] = "host",
                                             [CA_FILE] = "ca_file",
                                             [CERT_FILE] = "cert_file",
                                             [KEY_FILE] = "key_file"};

void ow_tls_explain(const ow_link *link, const char *said, char text[OW_TLS_TEXT])
{
    for (size_t i = 0; i < sizeof faults / sizeof faults[0]; i++) {
        if (strstr(said, faults[i].said) != NULL) {
            named key = faults[i].key;
            snprintf(text, OW_TLS_TEXT, "TLS fails: broker.%s is \"%.300s\", %s", key_names[key],
                     value_of(link, key), faults[i].mend);
            return;
        }
    }
    snprintf(text, OW_TLS_TEXT,
             "TLS fails%s%.200s: broker.port is %d, where the broker must talk TLS%s",
             said[0] != '\0' ? ": " : "", said, link->port,
             link->cert_file != NULL ? " and take the certificate in cert_file"
                                     : "; one that asks for certificates needs cert_file and "
                                       "key_file");
}
