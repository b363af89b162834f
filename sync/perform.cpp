// The folder's half of an exchange: runs off the thread of the book.
#include "sync/exchange.h"

#include <system_error>

namespace share {
namespace {

using engine::Fault;

/// A file that could not be read: either the folder is gone, and the pass ends, or it is this one file.
void unreadable(Done& done, Folder& folder, const engine::Error& error)
{
    if (error.fault == Fault::out_of_range) {
        done.segment.state    = State::refused;
        done.segment.code     = "R02";
        done.segment.sentence = "the file is larger than it may be";
        return;
    }
    if (error.fault == Fault::bad_input) {
        done.segment.state    = State::refused;
        done.segment.code     = "R13";
        done.segment.sentence = "it is a link or a device, not a plain file";
        return;
    }
    if (!folder.list(".", kMostNames)) {
        done.trouble = error;
        return;
    }
    done.segment.state    = State::waiting;
    done.segment.sentence = "a file in the folder cannot be read just now";
}

void send(Done& done, const Work& work, std::span<const unsigned char> bytes, Folder& folder)
{
    for (const std::string& path : work.paths) {
        const engine::Status sent = folder.write_new(path, bytes, work.devid);
        if (sent || (work.taken_is_fine && sent.error().fault == Fault::conflict)) {
            done.path  = path;
            done.bytes = bytes.size();
            done.trouble.reset();
            return;
        }
        done.trouble = sent.error();
        if (sent.error().fault != Fault::conflict) return;
    }
}

void send_photo(Done& done, const Work& work, Folder& folder)
{
    const auto bytes = work.photos->read(work.photo);
    if (bytes) return send(done, work, *bytes, folder);
    done.unread = bytes.error();
}

void fetch_segment(Done& done, const Work& work, Folder& folder)
{
    const auto bytes = folder.read(work.paths.front(), kLargestSegment);
    if (!bytes) return unreadable(done, folder, bytes.error());
    done.segment = open_segment(*bytes, work.segment, work.devid, work.plant);
    done.bytes   = bytes->size();
}

void fetch_text(Done& done, const Work& work, Folder& folder)
{
    const auto bytes = folder.read(work.paths.front(), work.most);
    if (!bytes) return unreadable(done, folder, bytes.error());
    done.segment.sha256    = engine::hex(engine::sha256(*bytes));
    done.segment.hash_fits = done.segment.sha256.compare(0, work.hash32.size(), work.hash32) == 0;
    if (!done.segment.hash_fits) {
        done.segment.state    = State::unfinished;
        done.segment.code     = "R01";
        done.segment.sentence = "a file of the folder is not complete yet";
        return;
    }
    done.text.assign(bytes->begin(), bytes->end());
    done.bytes = bytes->size();
}

void fetch_photo(Done& done, const Work& work, Folder& folder)
{
    const auto bytes = folder.read(work.paths.front(), engine::kLargestPhoto);
    if (!bytes) {
        unreadable(done, folder, bytes.error());
        if (done.segment.state == State::refused) done.segment.code = "R11";
        return;
    }
    done.segment.sha256    = engine::hex(engine::sha256(*bytes));
    done.segment.hash_fits = done.segment.sha256 == work.photo;
    if (!done.segment.hash_fits) {
        done.segment.state    = State::unfinished;
        done.segment.code     = "R11";
        done.segment.sentence = "the photo " + work.photo.substr(0, 8) + " is not complete in the folder yet";
        return;
    }
    engine::PhotoStore store = *work.photos;
    const auto         kept  = store.keep(*bytes);
    done.bytes               = bytes->size();
    if (kept) return;
    const bool here = kept.error().fault != Fault::corrupt && kept.error().fault != Fault::out_of_range;
    if (here) done.trouble = kept.error(); // this machine's own disk
    done.segment.state = State::refused;
    done.segment.code  = "R11";
    done.segment.sentence =
        "the photo " + work.photo.substr(0, 8) + " cannot be used: it is not a whole picture";
}

/// Whole under any of its names: its bytes were read here and now.
void prove_photo(Done& done, const Work& work, Folder& folder)
{
    done.segment.state = State::waiting;
    for (const std::string& path : work.paths) {
        const auto bytes = folder.read(path, engine::kLargestPhoto);
        if (!bytes || engine::hex(engine::sha256(*bytes)) != work.photo) continue;
        done.segment.state = State::ok;
        return;
    }
}

void compare(Done& done, const Work& work)
{
    for (const std::string& sha256 : work.named) {
        const bool here  = work.photos->has(sha256);
        const bool there = work.listing->photos.count(sha256) > 0;
        if (here && !there) done.to_send.push_back(sha256);
        if (!here && there) done.to_fetch.push_back(sha256);
        if (!here && !there) ++done.lacking;
    }
}

} // namespace

Done perform(const Work& work, Folder& folder, const std::atomic<bool>* cancel)
{
    Done done;
    switch (work.task) {
    case Work::Task::list: {
        auto listing = list_folder(folder, work.devid, cancel);
        if (listing)
            done.listing = std::move(*listing);
        else
            done.trouble = listing.error();
        break;
    }
    case Work::Task::compare:
        compare(done, work);
        break;
    case Work::Task::tidy: // what cannot be tidied today stays till next time
        if (!folder.remove_temporary(work.paths.front(), work.devid)) done.path.clear();
        break;
    case Work::Task::send:
        send(done, work, work.bytes, folder);
        break;
    case Work::Task::send_photo:
        send_photo(done, work, folder);
        break;
    case Work::Task::fetch_segment:
        fetch_segment(done, work, folder);
        break;
    case Work::Task::fetch_text:
        fetch_text(done, work, folder);
        break;
    case Work::Task::fetch_photo:
        fetch_photo(done, work, folder);
        break;
    case Work::Task::prove_photo:
        prove_photo(done, work, folder);
        break;
    case Work::Task::enter:
    case Work::Task::remember:
        break;
    }
    return done;
}

} // namespace share
