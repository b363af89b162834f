#pragma once
// What an Exchange holds. Private to sync.
#include "sync/exchange.h"

#include <nlohmann/json_fwd.hpp>

#include <deque>
#include <map>
#include <set>

namespace share {

struct Exchange::Inside {
    enum class Phase {
        list,
        plant,
        tidy,
        roster,
        own,
        renew,
        compare,
        send,
        others,
        renew_again,
        compare_again,
        fetch,
        tell,
        send_rest,
        make_room,
        over
    };

    Inside(engine::Book& the_book, const engine::Clock& time);

    // exchange.cpp: the order of things
    [[nodiscard]] std::optional<Work> next();
    [[nodiscard]] std::optional<Work> piece_of_phase();
    [[nodiscard]] std::optional<Work> list_work();
    [[nodiscard]] std::optional<Work> tidy_work();
    [[nodiscard]] std::optional<Work> compare_work();
    [[nodiscard]] std::optional<Work> remember_work();
    void                              absorb(Done what);
    void                              take_listing(Listing found);
    void                              stop(engine::Error why);
    [[nodiscard]] Work                work(Work::Task task, std::string what) const;

    // exchange_plant.cpp
    [[nodiscard]] std::optional<Work> plant_work();
    void                              absorb_plant(const Done& what);
    [[nodiscard]] std::optional<Work> plant_out_work();

    // exchange_send.cpp
    [[nodiscard]] std::optional<Work> send_work();
    [[nodiscard]] std::optional<Work> readme_work();
    [[nodiscard]] std::optional<Work> photo_out_work();
    [[nodiscard]] std::optional<Work> segment_work();
    [[nodiscard]] std::optional<Work> head_work();
    void                              count_covered();
    void                              absorb_sent(const Done& what);
    void                              absorb_photo_sent(const Done& what);
    void                              photo_unread(const engine::Error& why);
    void                              keep_back(const engine::Entry& from);
    [[nodiscard]] bool                waits_for_photo(const engine::Entry& entry) const;
    [[nodiscard]] std::uint64_t       own_last() const;

    // exchange_read.cpp
    void                              open_machine(const std::string& machine);
    [[nodiscard]] std::optional<Work> machines_work();
    [[nodiscard]] std::optional<Work> segment_in_work();
    [[nodiscard]] std::optional<Work> photo_in_work();
    void                              absorb_segment(const Done& what);
    void                              absorb_photo(const Done& what);
    void                              enter_part();
    void                              entered(const std::vector<engine::Entry>& part);
    void                              not_entered(const engine::Error& reason);
    void                              not_complete(const OpenedSegment& segment, const std::string& path);
    [[nodiscard]] bool                later_segment_exists() const;
    [[nodiscard]] bool                met_a_day_ago(const std::string& path);
    void                              count_waiting_photos();

    // exchange_room.cpp
    [[nodiscard]] std::optional<Work> room_work();
    void                              absorb_proved(const Done& what);
    [[nodiscard]] bool                has_room_for_photos();

    // exchange_roster.cpp
    [[nodiscard]] std::optional<Work> roster_work();
    [[nodiscard]] std::optional<Work> statement_out_work();
    void                              absorb_statement(const Done& what);
    void                              take_statements();
    [[nodiscard]] bool                is_unknown(const std::string& machine);
    void                              tell_roster();

    // exchange_forks.cpp
    void                              renew_key(); ///< when this very identity was met signed by another
    void                              note_forks();
    void                              tell_state();
    void                              look_at_witness(const engine::Entry& entry);
    [[nodiscard]] std::optional<Work> head_in_work();
    void                              absorb_head(const Done& what);
    [[nodiscard]] std::optional<Work> retired_work();

    // exchange_settle.cpp
    void                      know_refusals();
    [[nodiscard]] std::string machine_text() const; ///< name of the machine being read, or its devid16
    [[nodiscard]] bool        refused_for_good(const std::string& path);
    void                      refuse(const std::string& path, const OpenedSegment& why);
    void find(State state, const std::string& code, const std::string& path, const std::string& why);
    void settle(); ///< witness and refusals into the book, then names to remember
    [[nodiscard]] bool witnessed_before(const std::string& dev, std::uint64_t seq) const;

    struct Machine {
        std::string   dev, name;
        std::uint64_t last_seq = 0;
        std::string   last_id;
        std::uint64_t farthest = 0; ///< end of the longest branch, where the machine is forked
    };
    void                        know_machines();
    [[nodiscard]] engine::Draft witness_of(const Machine& machine) const;
    struct Refusal {
        std::string code, sha256, sentence;
    };

    engine::Book*                  book;
    const engine::Clock*           clock;
    std::string                    devid; ///< own
    Phase                          phase = Phase::list;
    Report                         report;
    std::optional<engine::Error>   error;
    Work                           current;
    std::size_t                    done = 0, all = 1;
    std::shared_ptr<const Listing> listing;
    std::map<std::string, Machine> machines; ///< by devid16
    std::map<std::string, Refusal> refusals; ///< own import.refused, by path below witnessmark1/
    std::vector<engine::Draft>     to_write;
    std::size_t                    refusals_written = 0;
    std::vector<std::string>       settled_later; ///< names of files read, remembered after settle()
    std::deque<std::string>        to_remember;
    std::string                    compared;   ///< last photo of the record that was compared with the folder
    std::set<std::string>          complaints; ///< files other machines could not use, below witnessmark1/

    // roster
    std::deque<RosterName>   statements_in, statements_out;
    std::vector<std::string> statement_lines;
    std::set<std::string>    enrolled; ///< devid16
    std::uint64_t            roster_witnessed = 0;
    std::string              roster_witness;

    // forks and heads
    bool                  replaced_elsewhere = false; ///< others have read what this book never said
    std::deque<HeadName>  heads_in;
    HeadName              head_read;
    std::set<std::string> retired_begun;
    std::string           retired_dev; ///< 64 hex: of the retired chain being sent

    // sending
    std::deque<std::string> left_over, photos_out;
    std::uint64_t           covered = 0; ///< own entries the folder holds, verified
    std::uint64_t own_checked       = 0; ///< own entries whose photos were compared: so far they may go out
    bool          covered_known = false, readme_sent = false, plant_sent = false;
    std::set<std::uint64_t> heads_sent;
    std::set<std::string>   photos_sent;
    std::set<std::string>   unread,
        held; ///< photos not read once, not read again: entries that name these wait
    std::optional<engine::Error> kept_back; ///< the record waits for a photo: said when all else is done
    bool                         at_piece = false; ///< the phase has begun

    // reading
    std::deque<std::string>  machines_in; ///< devid16 of those still to read
    std::string              reading;     ///< devid16 of the machine being read, empty between two
    std::deque<SegmentName>  segments_in;
    std::size_t              entries_in    = 0;
    std::uint64_t            content_seq   = 0; ///< newest entry read that is more than a witness
    bool                     gap_mentioned = false;
    std::vector<std::string> photos_wanted;
    bool                     photos_counted = false;
    std::deque<PhotoName>    photos_in;
    std::deque<std::string>  leaving; ///< sha256 of photos that may leave this machine

    /// A segment that goes into the book, some entries at a time.
    struct Entering {
        OpenedSegment                      segment;
        std::string                        path;
        std::size_t                        at    = 0;
        int                                fresh = 0;
        std::map<std::string, std::string> set_aside; ///< sentence by code, the first of each
    };
    std::optional<Entering> entering;
};

/// Below `witnessmark1/`, as findings and refusals name files.
[[nodiscard]] std::string below_root(const std::string& path);
/// Drafts the machine itself speaks.
[[nodiscard]] engine::Draft machine_says(const char* kind, nlohmann::json body);

} // namespace share
