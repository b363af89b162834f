#include "sync/readme.h"

namespace share {

std::string readme_text()
{
    return R"(WITNESSMARK EXCHANGE FOLDER, FORMAT 1

Machines of one plant leave their signed records and photos here and fetch each
other's. Every file is written once and never changed. Do not rename, edit or
delete anything: a changed file is found out and set aside, a missing one leaves
a gap that every reader sees.

  plant-<id>.txt                                          which plant this folder is of
  dev/<machine>/seg/<group>/<first>-<last>-<hash>.jsonl   lines first to last of one machine
  dev/<machine>/head/<group>/<size>-<hash>.txt            how far its record went, signed
  roster/<number>-<hash>.json                             who is enrolled, signed by the plant key
  blob/<ab>/<sha256>.jpg                                  photos, bytes as taken

<machine> is the start of SHA-256 over its public key, <hash> the start of SHA-256
of the file, <group> counts by 4096. "-2" to "-9" before the ending is a second
try at a file that was damaged.

VERIFY BY HAND, with sha256sum, openssl 3 and xxd

  sha256sum FILE                          must begin with the hash in the name

A line of a .jsonl file is: 128 hex digits (Ed25519 signature), a space, JSON. The
signed message is "witnessmark1/entry", a line feed, then the JSON exactly as it
stands. The field "dev" is the public key. For one line in line.txt:

  json=$(cut -d' ' -f2- line.txt)
  { printf 'witnessmark1/entry\n'; printf %s "$json"; } > message
  cut -d' ' -f1 line.txt | xxd -r -p > signature
  dev=$(printf %s "$json" | grep -o '"dev":"[0-9a-f]*"' | cut -d'"' -f4)
  { printf '302a300506032b6570032100%s' "$dev" | xxd -r -p; } > key.der
  openssl pkeyutl -verify -pubin -keyform DER -inkey key.der -rawin -in message -sigfile signature
  printf %s "$json" | sha256sum           the id of the entry

Per machine the field "seq" counts 1, 2, 3 ... without gap, and "prev" is the id of
the entry before (64 zeros at the first). Photos: the fields "sha256" and "photos"
inside "d" name them by SHA-256.

A head file is a signed note: plant and machine, number of entries, tree root
(RFC 6962) in base64, id of the last entry, key; the signature is over the lines
above the empty one. roster/ holds who is enrolled, signed by the plant key: each
line like an entry's, the message beginning with "witnessmark1/roster".
)";
}

} // namespace share
