#include "tests/trust/faulty_disk.h"

#include <sqlite3.h>

#include <algorithm>
#include <cstring>
#include <fstream>
#include <iterator>

namespace trust {
namespace {

namespace fs = std::filesystem;
using engine::failure;
using engine::Fault;

FaultyDisk* the_disk = nullptr;

std::string text_of(const fs::path& file)
{
    std::ifstream in(file, std::ios::binary);
    return {std::istreambuf_iterator<char>(in), {}};
}

engine::Failure no_power()
{
    return failure(Fault::io, "The power is gone.");
}

/// The Io seam on the same disk.
class FaultyIo final : public engine::Io {
  public:
    explicit FaultyIo(FaultyDisk& disk) : disk_(&disk) {}

    [[nodiscard]] engine::Status write_whole(const fs::path&                file,
                                             std::span<const unsigned char> bytes) override
    {
        if (disk_->dead()) return no_power();
        std::error_code none;
        if (fs::exists(file, none)) return engine::Unit{};
        const std::string      temporary = (file.parent_path() / ".new-000001").string();
        const std::string_view text(reinterpret_cast<const char*>(bytes.data()), bytes.size());
        if (disk_->wrote(temporary, 0, text) || disk_->synced(temporary) ||
            disk_->renamed(temporary, file.string()))
            return no_power();
        return engine::disk_io().write_whole(file, bytes);
    }
    [[nodiscard]] engine::Status write_tail(const fs::path& file, engine::OpenFile& held,
                                            std::uint64_t offset, std::string_view bytes,
                                            bool durable) override
    {
        if (disk_->dead()) return no_power();
        if (disk_->cut(file.string(), offset) || disk_->wrote(file.string(), offset, bytes))
            return no_power();
        if (durable && disk_->synced(file.string())) return no_power();
        return engine::disk_io().write_tail(file, held, offset, bytes, false);
    }
    [[nodiscard]] engine::Result<std::vector<unsigned char>> read_whole(const fs::path& file,
                                                                        std::size_t     most) const override
    {
        return engine::disk_io().read_whole(file, most);
    }
    [[nodiscard]] engine::Status make_folder(const fs::path& folder) override
    {
        if (disk_->dead()) return no_power();
        return engine::disk_io().make_folder(folder);
    }

  private:
    FaultyDisk* disk_;
};

// ---- the VFS shim: passes everything on, and tells the disk of writes, cuts, syncs and removals ----

sqlite3_vfs* real_vfs = nullptr;

struct ShimFile {
    sqlite3_file  base;
    const char*   path; ///< sqlite keeps it while the file is open
    sqlite3_file* real;
};

ShimFile* shim_of(sqlite3_file* file)
{
    return reinterpret_cast<ShimFile*>(file);
}

sqlite3_file* real_of(sqlite3_file* file)
{
    return shim_of(file)->real;
}

bool tracked(sqlite3_file* file)
{
    return the_disk != nullptr && shim_of(file)->path != nullptr;
}

int shim_close(sqlite3_file* file)
{
    return real_of(file)->pMethods->xClose(real_of(file));
}
int shim_read(sqlite3_file* file, void* into, int count, sqlite3_int64 at)
{
    return real_of(file)->pMethods->xRead(real_of(file), into, count, at);
}
int shim_write(sqlite3_file* file, const void* from, int count, sqlite3_int64 at)
{
    const std::string_view bytes(static_cast<const char*>(from), static_cast<std::size_t>(count));
    if (tracked(file) && the_disk->wrote(shim_of(file)->path, static_cast<std::uint64_t>(at), bytes))
        return SQLITE_IOERR_WRITE;
    return real_of(file)->pMethods->xWrite(real_of(file), from, count, at);
}
int shim_truncate(sqlite3_file* file, sqlite3_int64 size)
{
    if (tracked(file) && the_disk->cut(shim_of(file)->path, static_cast<std::uint64_t>(size)))
        return SQLITE_IOERR_TRUNCATE;
    return real_of(file)->pMethods->xTruncate(real_of(file), size);
}
int shim_sync(sqlite3_file* file, int flags)
{
    if (tracked(file) && the_disk->synced(shim_of(file)->path)) return SQLITE_IOERR_FSYNC;
    (void)flags; // the model knows what is durable; a real sync would only cost time
    return SQLITE_OK;
}
int shim_size(sqlite3_file* file, sqlite3_int64* size)
{
    return real_of(file)->pMethods->xFileSize(real_of(file), size);
}
int shim_lock(sqlite3_file* file, int level)
{
    return real_of(file)->pMethods->xLock(real_of(file), level);
}
int shim_unlock(sqlite3_file* file, int level)
{
    return real_of(file)->pMethods->xUnlock(real_of(file), level);
}
int shim_reserved(sqlite3_file* file, int* held)
{
    return real_of(file)->pMethods->xCheckReservedLock(real_of(file), held);
}
int shim_control(sqlite3_file* file, int what, void* with)
{
    return real_of(file)->pMethods->xFileControl(real_of(file), what, with);
}
int shim_sector(sqlite3_file* file)
{
    return real_of(file)->pMethods->xSectorSize(real_of(file));
}
int shim_device(sqlite3_file* /*file*/)
{
    return 0; // nothing is promised: no atomic writes, no safe append
}
int shim_map(sqlite3_file* file, int page, int size, int extend, void volatile** at)
{
    return real_of(file)->pMethods->xShmMap(real_of(file), page, size, extend, at);
}
int shim_shm_lock(sqlite3_file* file, int offset, int count, int flags)
{
    return real_of(file)->pMethods->xShmLock(real_of(file), offset, count, flags);
}
void shim_barrier(sqlite3_file* file)
{
    real_of(file)->pMethods->xShmBarrier(real_of(file));
}
int shim_unmap(sqlite3_file* file, int remove)
{
    return real_of(file)->pMethods->xShmUnmap(real_of(file), remove);
}

const sqlite3_io_methods kMethods{
    2,           shim_close, shim_read,     shim_write,    shim_truncate, shim_sync,
    shim_size,   shim_lock,  shim_unlock,   shim_reserved, shim_control,  shim_sector,
    shim_device, shim_map,   shim_shm_lock, shim_barrier,  shim_unmap,    nullptr,
    nullptr};

int shim_open(sqlite3_vfs* /*vfs*/, const char* name, sqlite3_file* file, int flags, int* out)
{
    ShimFile* shim      = shim_of(file);
    shim->real          = reinterpret_cast<sqlite3_file*>(shim + 1);
    shim->path          = name;
    shim->base.pMethods = nullptr;
    if (the_disk != nullptr && the_disk->dead()) return SQLITE_CANTOPEN;
    const int opened = real_vfs->xOpen(real_vfs, name, shim->real, flags, out);
    if (shim->real->pMethods != nullptr) shim->base.pMethods = &kMethods;
    return opened;
}

int shim_delete(sqlite3_vfs* /*vfs*/, const char* name, int sync)
{
    if (the_disk != nullptr && the_disk->removed(name)) return SQLITE_IOERR_DELETE;
    return real_vfs->xDelete(real_vfs, name, sync);
}

void use_shim()
{
    static sqlite3_vfs shim{};
    if (real_vfs != nullptr) return;
    real_vfs      = sqlite3_vfs_find(nullptr);
    shim          = *real_vfs;
    shim.zName    = "witnessmark-faulty";
    shim.szOsFile = static_cast<int>(sizeof(ShimFile)) + real_vfs->szOsFile;
    shim.pNext    = nullptr;
    shim.xOpen    = shim_open;
    shim.xDelete  = shim_delete;
    sqlite3_vfs_register(&shim, 1);
}

} // namespace

FaultyDisk* FaultyDisk::current()
{
    return the_disk;
}

FaultyDisk::FaultyDisk() : io_(std::make_unique<FaultyIo>(*this))
{
    use_shim();
    the_disk = this;
}

FaultyDisk::~FaultyDisk()
{
    the_disk = nullptr;
}

bool FaultyDisk::step()
{
    ++operations_;
    if (die_at != 0 && operations_ >= die_at) dead_ = true;
    return dead_;
}

bool FaultyDisk::wrote(const std::string& path, std::uint64_t offset, std::string_view bytes)
{
    if (dead_) return true;
    files_[path].pending.push_back(
        {offset, std::string(bytes), false}); // the dying write may be there in part
    return step();
}

bool FaultyDisk::cut(const std::string& path, std::uint64_t size)
{
    if (dead_) return true;
    files_[path].pending.push_back({size, {}, true});
    return step();
}

bool FaultyDisk::synced(const std::string& path)
{
    if (dead_ || step()) return true; // the power went before the disk said yes
    if (lies) return false;
    File& file = files_[path];
    for (const Pending& change : file.pending)
        apply(file.durable, change);
    file.pending.clear();
    return false;
}

bool FaultyDisk::removed(const std::string& path)
{
    if (dead_ || step()) return true;
    files_.erase(path);
    return false;
}

bool FaultyDisk::renamed(const std::string& from, const std::string& to)
{
    if (dead_ || step()) return true;
    files_[to] = std::move(files_[from]);
    files_.erase(from);
    return false;
}

void FaultyDisk::apply(std::string& text, const Pending& change)
{
    const auto at = static_cast<std::size_t>(change.offset);
    if (change.cut) {
        if (text.size() > at) text.resize(at);
        return;
    }
    if (text.size() < at + change.bytes.size()) text.resize(at + change.bytes.size(), '\0');
    std::copy(change.bytes.begin(), change.bytes.end(), text.begin() + static_cast<std::ptrdiff_t>(at));
}

std::string FaultyDisk::after(const File& file, Damage damage, std::mt19937& random)
{
    constexpr std::size_t kSector = 512;
    std::string           text    = file.durable;
    if (damage == Damage::dropped || file.pending.empty()) return text;
    const std::size_t last = random() % file.pending.size();
    for (std::size_t i = 0; i < file.pending.size(); ++i) {
        Pending change = file.pending[i];
        if (damage == Damage::reordered && random() % 2 == 0) continue;
        if (damage == Damage::torn && i > last) break;
        if (damage == Damage::torn && i == last && !change.cut)
            change.bytes.resize(change.bytes.size() * (random() % (kSector + 1)) / kSector / kSector *
                                kSector);
        if (damage == Damage::nul_tail && !change.cut &&
            change.offset + change.bytes.size() > file.durable.size())
            std::fill(change.bytes.begin(), change.bytes.end(), '\0');
        apply(text, change);
    }
    return text;
}

void FaultyDisk::adopt(const fs::path& folder)
{
    for (const auto& item : fs::recursive_directory_iterator(folder))
        if (item.is_regular_file()) files_[item.path().string()] = {text_of(item.path()), {}};
}

void FaultyDisk::power_on(const fs::path& from, const fs::path& to, Damage damage, unsigned seed) const
{
    std::mt19937 random(seed);
    fs::create_directories(to);
    for (const auto& item : fs::recursive_directory_iterator(from)) {
        const fs::path place = to / fs::relative(item.path(), from);
        if (item.is_directory())
            fs::create_directories(place);
        else if (item.is_regular_file() && files_.count(item.path().string()) == 0 &&
                 item.path().extension() != ".jpg" && item.path().string().find("-shm") == std::string::npos)
            fs::copy_file(item.path(), place, fs::copy_options::overwrite_existing);
    }
    for (const auto& [path, file] : files_) {
        const fs::path place = to / fs::relative(path, from);
        fs::create_directories(place.parent_path());
        const std::string text = after(file, damage, random);
        std::ofstream(place, std::ios::binary) << text;
    }
}

} // namespace trust
