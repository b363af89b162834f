// Files and names of the shared folder. A file carries the hash of its bytes in its name, so that nothing
// else of it is looked at when they do not fit: here they always fit.
#include "engine/book/codec.h"
#include "engine/book/seal.h"
#include "sync/head.h"
#include "sync/pack_form.h"
#include "sync/plant_file.h"
#include "sync/segment.h"

#include <algorithm>
#include <set>

#include "tests/fuzz/inputs.h"

namespace fuzz {
namespace {

std::string hash32_of(std::string_view text)
{
    return engine::hex(engine::sha256(text)).substr(0, 32);
}

std::string last_part(const std::string& path)
{
    return path.substr(path.rfind('/') + 1);
}

} // namespace

int segment(const std::uint8_t* bytes, std::size_t size)
{
    const auto         text  = text_of(bytes, size);
    const auto         first = engine::read_trusted_line(text.substr(0, text.find('\n')));
    const auto         lines = static_cast<std::uint64_t>(std::count(text.begin(), text.end(), '\n'));
    share::SegmentName name{first ? first->seq : 1, 0, hash32_of(text), 1};
    name.last         = name.first + std::max<std::uint64_t>(lines, 1) - 1;
    const auto devid  = share::device_folder(first ? first->dev : std::string(64, '1'));
    const auto opened = share::open_segment({bytes, size}, name, devid, "");
    must(opened.hash_fits, "the name has the hash of the bytes");
    must((opened.state == share::State::ok) == !opened.entries.empty(), "entries come from good files only");
    for (std::size_t i = 0; i < opened.entries.size(); ++i) {
        const engine::Entry& entry = opened.entries[i];
        must(entry.seq == name.first + i, "numbers follow one another");
        must(engine::open_line(entry.line).has_value(), "every line is verified");
        must(i == 0 || entry.prev == opened.entries[i - 1].id, "each follows the one before it");
        (void)share::photos_of(entry);
    }
    return 0;
}

/// The bytes are the JSON of a list of contents, or of a proof; signed here, so that the signature is no
/// wall.
int pack(const std::uint8_t* bytes, std::size_t size)
{
    static const engine::MachineKey key = engine::MachineKey::from_seed({7});
    const std::string               json(text_of(bytes, size));
    const auto                      contents =
        share::pack::opened(engine::hex_of(key.sign("witnessmark1/pack\n" + json)) + " " + json + "\n");
    if (contents) {
        must(contents->dev == key.device(), "only the key that signed is believed");
        must(share::pack::sealed(*contents, key).has_value(), "what was read can be written");
    }
    const auto proof = share::pack::proof_in(json);
    must(!proof || share::pack::text_of(*proof).has_value(), "what was read can be written");
    return 0;
}

int head(const std::uint8_t* bytes, std::size_t size)
{
    const auto text = text_of(bytes, size);
    // Its own machine and size, as far as they can be read: origin "witnessmark1/<plant>/<dev>", then the
    // size.
    const auto        origin = text.substr(0, text.find('\n'));
    const std::string last(origin.substr(origin.rfind('/') == origin.npos ? 0 : origin.rfind('/') + 1));
    const std::string devid     = share::is_device_folder(last) ? last : share::device_folder(last);
    std::uint64_t     size_said = 0;
    if (origin.size() < text.size())
        for (const char c : text.substr(origin.size() + 1, 10)) {
            if (c < '0' || c > '9') break;
            size_said = size_said * 10 + static_cast<std::uint64_t>(c - '0');
        }
    const share::HeadName name{size_said, hash32_of(text)};
    const auto            opened = share::open_head({bytes, size}, name, devid);
    if (!opened) return 0;
    must(opened->size == size_said, "the size is that of the name");
    must(share::device_folder(opened->dev) == devid, "the machine is that of the folder");
    return 0;
}

int file_name(const std::uint8_t* bytes, std::size_t size)
{
    const std::string name(text_of(bytes, size));
    const std::string devid(16, 'a');
    // Only what the printers print is what the readers take.
    if (const auto read = share::segment_name(name)) {
        must(last_part(share::path_of(devid, *read)) == name, "a segment has one name");
        must(read->first >= 1 && read->first <= read->last, "a segment has entries");
    }
    if (const auto read = share::head_name(name))
        must(last_part(share::path_of(devid, *read)) == name, "a head has one name");
    if (const auto read = share::photo_name(name))
        must(last_part(share::path_of(*read)) == name, "a photo has one name");
    if (const auto read = share::roster_name(name))
        must(last_part(share::path_of(*read)) == name, "a statement has one name");
    if (const auto id = share::plant_file_id(name))
        must(last_part(share::plant_path(*id)) == name, "the file that names a plant has one name");
    if (const auto plant = share::folder_plant_in(name)) // and its text, which is as short
        must(share::text_of(*plant) == name && !plant->mark.id.empty(), "a plant's file has one form");
    if (share::is_device_folder(name)) must(name.size() == 16, "a machine's folder has 16 digits");
    (void)share::is_group(name);
    (void)share::device_folder(name);
    return 0;
}

} // namespace fuzz
