#include "sync/listing.h"

#include "sync/plant_file.h"

#include <algorithm>
#include <optional>
#include <tuple>

namespace share {
namespace {

using engine::Fault;
using Sort = FolderItem::Sort;

class Lister {
  public:
    Lister(Folder& folder, const std::string& own_devid, const std::atomic<bool>* stop)
        : folder_(&folder), own_(temporary_prefix(own_devid)), own_devid_(own_devid), stop_(stop)
    {
    }

    [[nodiscard]] engine::Result<Listing> all()
    {
        const std::string root(kRoot);
        for (const FolderItem& item : items("."))
            if (item.name == root && item.sort == Sort::folder) found_.begun = true;
        if (found_.begun) top(root);
        if (trouble_) return *trouble_;
        return std::move(found_);
    }

  private:
    void top(const std::string& root)
    {
        for (const FolderItem& item : items(root)) {
            const std::string path = root + "/" + item.name;
            if (item.name == "README.txt" && item.sort == Sort::file)
                found_.readme = true;
            else if (const auto plant = plant_file_id(item.name); plant && item.sort == Sort::file)
                keep(found_.plants, *plant);
            else if (item.name == "dev" && item.sort == Sort::folder)
                each(path, &is_device_folder, &Lister::machine);
            else if (item.name == "roster" && item.sort == Sort::folder)
                roster(path);
            else if (item.name == "blob" && item.sort == Sort::folder)
                each(path, &is_photo_folder, &Lister::photos);
            else
                stranger(path, item);
        }
        std::sort(found_.plants.begin(), found_.plants.end());
    }

    static bool is_photo_folder(std::string_view name)
    {
        constexpr std::string_view kDigits = "0123456789abcdef";
        return name.size() == 2 && name.find_first_not_of(kDigits) == std::string_view::npos;
    }

    /// Visits the folders in `path` whose names `fits`.
    void each(const std::string& path, bool (*fits)(std::string_view),
              void (Lister::*visit)(const std::string& path, const std::string& name))
    {
        for (const FolderItem& item : items(path)) {
            if (item.sort == Sort::folder && fits(item.name))
                (this->*visit)(path + "/" + item.name, item.name);
            else
                stranger(path + "/" + item.name, item);
        }
    }

    void machine(const std::string& path, const std::string& devid)
    {
        if (found_.machines.size() >= kMostMachines) {
            ++found_.foreign;
            return;
        }
        at_ = &found_.machines[devid];
        for (const FolderItem& item : items(path)) {
            if (item.sort == Sort::folder && item.name == "seg")
                each(path + "/seg", &is_group, &Lister::segments);
            else if (item.sort == Sort::folder && item.name == "head")
                each(path + "/head", &is_group, &Lister::heads);
            else
                stranger(path + "/" + item.name, item);
        }
        // The longest and the latest copy first: what they bring makes a damaged other one no matter.
        std::sort(at_->segments.begin(), at_->segments.end(), [](const SegmentName& a, const SegmentName& b) {
            return std::tie(a.first, b.last, a.hash32, b.copy) < std::tie(b.first, a.last, b.hash32, a.copy);
        });
        std::sort(at_->heads.begin(), at_->heads.end(), [](const HeadName& a, const HeadName& b) {
            return std::tie(a.size, a.hash32) < std::tie(b.size, b.hash32);
        });
    }

    void segments(const std::string& path, const std::string& group)
    {
        for (const FolderItem& item : items(path)) {
            const auto name = segment_name(item.name);
            const bool ours = item.sort == Sort::file && name && group_of(name->first) == group;
            ours ? keep(at_->segments, *name) : stranger(path + "/" + item.name, item);
        }
    }

    void heads(const std::string& path, const std::string& group)
    {
        for (const FolderItem& item : items(path)) {
            const auto name = head_name(item.name);
            const bool ours = item.sort == Sort::file && name && group_of(name->size) == group;
            ours ? keep(at_->heads, *name) : stranger(path + "/" + item.name, item);
        }
    }

    void roster(const std::string& path)
    {
        for (const FolderItem& item : items(path)) {
            const auto name = roster_name(item.name);
            item.sort == Sort::file&& name ? keep(found_.roster, *name)
                                           : stranger(path + "/" + item.name, item);
        }
        std::sort(found_.roster.begin(), found_.roster.end(), [](const RosterName& a, const RosterName& b) {
            return std::tie(a.seq, a.hash32) < std::tie(b.seq, b.hash32);
        });
    }

    void photos(const std::string& path, const std::string& group)
    {
        for (const FolderItem& item : items(path)) {
            const auto name = photo_name(item.name);
            const bool ours = item.sort == Sort::file && name && name->sha256.compare(0, 2, group) == 0;
            ours ? keep(found_.photos[name->sha256], *name) : stranger(path + "/" + item.name, item);
        }
    }

    template <class Name> void keep(std::vector<Name>& names, const Name& name)
    {
        names.push_back(name);
        ++found_.files;
    }

    void stranger(const std::string& path, const FolderItem& item)
    {
        const bool temporary = item.sort == Sort::file && item.name.rfind(".p-", 0) == 0;
        if (temporary && !own_devid_.empty() && item.name.rfind(own_, 0) == 0)
            found_.left_over.push_back(path);
        else if (!temporary)
            ++found_.foreign;
    }

    [[nodiscard]] std::vector<FolderItem> items(const std::string& path)
    {
        if (trouble_ || (stop_ != nullptr && *stop_)) return {};
        auto listed = folder_->list(path, kMostNames);
        if (!listed) {
            const Fault fault   = listed.error().fault;
            const bool  nothing = path != "." && (fault == Fault::not_found || fault == Fault::bad_input);
            if (nothing) return {};
            if (path == "." || !folder_->list(".", kMostNames))
                trouble_ = listed.failure(); // the share itself is gone
            else
                ++found_.foreign; // one folder that cannot be read does not stop the others
            return {};
        }
        if (listed->size() > kMostNames) {
            found_.foreign += listed->size() - kMostNames;
            listed->resize(kMostNames);
        }
        return std::move(*listed);
    }

    Folder*                        folder_;
    std::string                    own_, own_devid_;
    const std::atomic<bool>*       stop_;
    Listing                        found_;
    MachineListing*                at_ = nullptr;
    std::optional<engine::Failure> trouble_;
};

} // namespace

engine::Result<Listing> list_folder(Folder& folder, const std::string& own_devid,
                                    const std::atomic<bool>* stop)
{
    auto found = Lister(folder, own_devid, stop).all();
    if (!found) return found;
    for (auto& [sha256, copies] : found->photos)
        std::sort(copies.begin(), copies.end(),
                  [](const PhotoName& a, const PhotoName& b) { return a.copy < b.copy; });
    return found;
}

} // namespace share
