#pragma once
// The holder of an invented plant key, and what is said with it.
#include "engine/book/roster.h"

#include "tests/sync/plant.h"

struct Office {
    engine::MachineKey       key;
    std::vector<std::string> lines;
    std::string              head = std::string(64, '0'), plant;

    explicit Office(int number = 200, std::string of = "saltmarsh")
        : key(key_of(number)), plant(std::move(of))
    {
        say("root", {{"keys", nlohmann::json::array({key.device()})}, {"threshold", 1}});
    }

    static engine::MachineKey key_of(int number)
    {
        std::array<unsigned char, 32> seed{};
        seed.fill(static_cast<unsigned char>(number));
        return engine::MachineKey::from_seed(seed);
    }

    engine::Statement made(const std::string& kind, nlohmann::json body) const
    {
        engine::Statement statement;
        statement.plant = plant;
        statement.seq   = lines.size() + 1;
        statement.prev  = head;
        statement.kind  = kind;
        statement.at_ms = support::FakeClock::kStart;
        statement.body  = std::make_shared<const nlohmann::json>(std::move(body));
        REQUIRE(engine::seal_statement(statement, key));
        return statement;
    }
    Office& say(const std::string& kind, nlohmann::json body)
    {
        const auto statement = made(kind, std::move(body));
        lines.push_back(statement.line);
        head = statement.id;
        return *this;
    }
    Office& add(const std::string& dev, const std::string& role, int signs_from = 1)
    {
        return say("add", {{"dev", dev}, {"name", "T"}, {"role", role}, {"signs_from", signs_from}});
    }
    void tell(engine::Book& book) const
    {
        REQUIRE(book.trust_root(key.device()));
        const auto taken = book.take_statements(lines);
        REQUIRE_MESSAGE(taken, (taken ? "" : taken.error().message));
    }
    /// The statement as it lies in a folder: path and bytes.
    static std::pair<std::string, std::vector<unsigned char>> file_of(const std::string& line,
                                                                      std::uint64_t      seq)
    {
        const std::string text = line + "\n";
        return {share::path_of(share::RosterName{seq, engine::hex(engine::sha256(text)).substr(0, 32)}),
                {text.begin(), text.end()}};
    }
};
