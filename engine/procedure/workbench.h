#pragma once
// The one door through which a job changes: looks at the progress, asks the rules, signs the entry.
#include "engine/book/book.h"
#include "engine/procedure/act.h"

namespace engine {

struct JobState { ///< a job as of one version of the book
    Plan               plan;
    Progress           progress;
    std::vector<Entry> entries;
};

class Workbench {
  public:
    /// Both must outlive the workbench.
    Workbench(Book& book, const Procedure& procedure, const Clock& clock);

    /// Cached until something comes in that can change it (Book::version_of_job). Faults: not_found (no such
    /// job), bad_input (the plan cannot be built).
    [[nodiscard]] Result<std::shared_ptr<const JobState>> job(const std::string& number) const;

    /// Photo bytes go to disk first, then the entry; when this returns the record is durable.
    [[nodiscard]] Result<Kept> carry_out(const std::string& job, const std::string& actor, const Act& act);

    [[nodiscard]] Book&            book() const { return *book_; }
    [[nodiscard]] const Procedure& procedure() const { return *procedure_; }
    [[nodiscard]] const Clock&     clock() const { return *clock_; }

  private:
    /// Keeps the state after an own entry, without reading the whole job again.
    void remember(const std::string& number, std::uint64_t before, const JobState& now,
                  const std::string& id);

    Book*            book_;
    const Procedure* procedure_;
    const Clock*     clock_;
    struct Cached {
        std::uint64_t                   version = 0;
        std::shared_ptr<const JobState> state;
    };
    mutable std::map<std::string, Cached> cache_;
};

} // namespace engine
