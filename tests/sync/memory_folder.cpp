#include "tests/sync/memory_folder.h"

#include "sync/names.h"

#include <algorithm>

using engine::failure;
using engine::Fault;

namespace {

engine::Failure unplugged()
{
    return failure(Fault::io, "The shared folder does not answer; plug it in again.");
}

} // namespace

engine::Result<std::vector<share::FolderItem>> MemoryFolder::list(const std::string& path, std::size_t most)
{
    if (gone()) return unplugged();
    const std::string                              prefix = path == "." ? "" : path + "/";
    std::map<std::string, share::FolderItem::Sort> found;
    // From name to name, past everything a folder holds: simulated folders are large.
    for (auto at = files.lower_bound(prefix); at != files.end() && at->first.rfind(prefix, 0) == 0;) {
        const std::size_t cut = at->first.find('/', prefix.size());
        if (cut == std::string::npos) {
            found[at->first.substr(prefix.size())] = share::FolderItem::Sort::file;
            ++at;
        } else {
            found[at->first.substr(prefix.size(), cut - prefix.size())] = share::FolderItem::Sort::folder;
            at = files.lower_bound(at->first.substr(0, cut) + static_cast<char>('/' + 1));
        }
    }
    const auto visit = [&](const std::string& file, share::FolderItem::Sort sort) {
        if (file.rfind(prefix, 0) != 0) return;
        const std::string rest     = file.substr(prefix.size());
        const std::size_t cut      = rest.find('/');
        found[rest.substr(0, cut)] = cut == std::string::npos ? sort : share::FolderItem::Sort::folder;
    };
    for (const std::string& file : oddities)
        visit(file, share::FolderItem::Sort::other);
    if (found.empty() && path != ".") return failure(Fault::not_found, "no such folder");
    std::vector<share::FolderItem> items;
    for (const auto& [name, sort] : found)
        if (items.size() <= most) items.push_back({name, sort});
    std::reverse(items.begin(), items.end()); // nobody may count on an order
    return items;
}

engine::Result<std::vector<unsigned char>> MemoryFolder::read(const std::string& path, std::size_t most)
{
    if (gone()) return unplugged();
    if (unreadable.count(path) > 0) return failure(Fault::io, "a bad place on the disk");
    const auto at = files.find(path);
    if (at == files.end()) return failure(Fault::not_found, "no such file");
    if (at->second.size() > most) return failure(Fault::out_of_range, "too long");
    return at->second;
}

engine::Status MemoryFolder::write_new(const std::string& path, std::span<const unsigned char> bytes,
                                       const std::string& writer)
{
    Bytes all(bytes.begin(), bytes.end());
    if (const auto there = files.find(path); there != files.end()) {
        if (gone()) return unplugged();
        if (there->second == all) return engine::Unit{};
        return failure(Fault::conflict, "taken");
    }
    if (!gone()) {
        files[path] = std::move(all);
        return engine::Unit{};
    }
    if (operations > pull_at) return unplugged(); // gone for longer than this write
    const std::size_t half = all.size() / 2;
    if (pulled == Pulled::temporary) {
        const std::string folder = path.substr(0, path.rfind('/') + 1);
        files[folder + share::temporary_prefix(writer) + "0123456789abcdef"] =
            Bytes(all.begin(), all.begin() + static_cast<std::ptrdiff_t>(half));
    }
    if (pulled == Pulled::torn) all.resize(half);
    if (pulled == Pulled::zeros) std::fill(all.begin() + static_cast<std::ptrdiff_t>(half), all.end(), 0);
    if (pulled == Pulled::torn || pulled == Pulled::zeros || pulled == Pulled::whole) files[path] = all;
    return unplugged();
}

engine::Status MemoryFolder::remove_temporary(const std::string& path, const std::string& writer)
{
    if (gone()) return unplugged();
    if (path.substr(path.rfind('/') + 1).rfind(share::temporary_prefix(writer), 0) != 0)
        return failure(Fault::bad_input, "not ours");
    files.erase(path);
    return engine::Unit{};
}

std::vector<std::string> MemoryFolder::with(const std::string& part) const
{
    std::vector<std::string> found;
    for (const auto& [path, bytes] : files)
        if (path.find(part) != std::string::npos) found.push_back(path);
    return found;
}
