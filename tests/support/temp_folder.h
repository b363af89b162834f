#pragma once
// A folder of its own for one test, gone when the test ends.
#include <cstdlib>
#include <filesystem>
#include <stdexcept>
#include <string>
#include <system_error>

namespace support {

class TempFolder {
  public:
    TempFolder()
    {
        // In memory where that is possible: a test asks what is written, not how long a disk takes.
        std::error_code             none;
        const std::filesystem::path memory = "/dev/shm";
        const bool                  in_memory =
            std::getenv("TMPDIR") == nullptr && std::filesystem::is_directory(memory, none);
        std::string name =
            ((in_memory ? memory : std::filesystem::temp_directory_path()) / "witnessmark-XXXXXX").string();
        if (mkdtemp(name.data()) == nullptr) throw std::runtime_error("no temporary folder for the test");
        path_ = name;
    }
    TempFolder(const TempFolder&)            = delete;
    TempFolder& operator=(const TempFolder&) = delete;
    TempFolder(TempFolder&&)                 = delete;
    TempFolder& operator=(TempFolder&&)      = delete;
    ~TempFolder()
    {
        std::error_code ignored;
        std::filesystem::remove_all(path_, ignored);
    }

    [[nodiscard]] const std::filesystem::path& path() const { return path_; }
    /// A place inside: `folder / "demo.book"`.
    friend std::filesystem::path operator/(const TempFolder& folder, const std::string& name)
    {
        return folder.path() / name;
    }

  private:
    std::filesystem::path path_;
};

} // namespace support
