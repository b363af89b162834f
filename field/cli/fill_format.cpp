#include "field/cli/fill_file.h"

namespace field::cli {

std::string_view fill_format()
{
    return R"(The file of readings:
{ "job": "2219", "actor": "B-0417",
  "steps": [
    { "step": "seat", "pos": "A",
      "codes":    { "ask": "text" },
      "choices":  { "ask": "option" },
      "tools":    { "ask": "M-07" },            instrument of every reading of that ask
      "part":     "21.5 C",                     temperature of the part
      "readings": { "ask": "300 deg",
                    "ask": { "slot": "49.970 mm" },
                    "ask": { "value": "40 Nm", "tool": "W-02", "part": "20 C" } },
      "photos":   { "ask": "file.jpg" },        beside the file, or in --photos DIR
      "problem":  "reason"  or { "reason": "..", "skip": true },
      "decide":   { "badge": "S-02", "pin": "....", "accept": true, "reason": ".." },
      "close":    true },                       true where it is not said
    { "back_off":    { "pos": "B", "reason": ".." } },
    { "hand_over":   "B-0422" },
    { "countersign": { "badge": "S-02", "pin": "...." } },
    { "return":      { "badge": "S-02", "pin": "....", "reason": ".." } } ] }
Items are carried out in the order of the file; inside an item in the order above. The first refusal ends the
run: what was done before it stays in the record. With --photos DIR a photo that is not named is taken from
DIR/<step>.<ask>.jpg or DIR/<step>.<pos>.<ask>.jpg.
Exit code 0 all carried out, 1 a rule refused, 2 the file, a photo or the book cannot be used.
--json: {"job","carried_out","steps_done","steps","finished","refused":{"item","name","rule","entered_before"}})";
}

} // namespace field::cli
