#pragma once
// Machines of one invented plant, each with a book of its own, and what they write.
#include "engine/book/book.h"
#include "sync/exchange.h"

#include <doctest/doctest.h>
#include <nlohmann/json.hpp>

#include <optional>
#include <string>

#include "tests/support/fake_clock.h"
#include "tests/support/picture.h"
#include "tests/support/temp_folder.h"

struct Machine {
    engine::Book book;

    /// Nth machine of the plant: same number, same key, on every run.
    Machine(const support::TempFolder& folder, const engine::Clock& clock, int number,
            const std::string& plant = "saltmarsh")
        : book(made(folder / ("m" + std::to_string(number) + ".book"), clock, number, plant))
    {
    }
    explicit Machine(engine::Book opened) : book(std::move(opened)) {}

    static engine::Book made(const std::filesystem::path& file, const engine::Clock& clock, int number,
                             const std::string& plant, engine::Io* disk = nullptr)
    {
        engine::BookOptions options;
        options.io           = disk;
        options.machine_name = "T-0" + std::to_string(number);
        options.plant        = plant;
        options.seed.emplace();
        options.seed->fill(static_cast<unsigned char>(number));
        auto opened = engine::Book::open(file, clock, options);
        REQUIRE(opened);
        return *std::move(opened);
    }

    std::string read(const std::string& job, int value)
    {
        const engine::Draft draft{
            "417",
            engine::kind::reading,
            job,
            "A",
            "seat",
            {},
            std::make_shared<const nlohmann::json>(nlohmann::json{{"ask", "seat"}, {"value", value}})};
        const auto kept = book.append(draft);
        REQUIRE(kept);
        return kept->id;
    }
    /// Takes a photo and writes the entry that names it; its hash.
    std::string photo(const std::string& job, int number)
    {
        const auto info = book.photos().keep(support::numbered_jpeg(number));
        REQUIRE(info);
        const engine::Draft draft{
            "417",
            engine::kind::photo,
            job,
            "A",
            "seat",
            {},
            std::make_shared<const nlohmann::json>(nlohmann::json{{"sha256", info->sha256}})};
        REQUIRE(book.append(draft));
        return info->sha256;
    }
    share::Report exchange(share::Folder& folder, const engine::Clock& clock)
    {
        const auto report = share::exchange(book, folder, clock);
        REQUIRE_MESSAGE(report, (report ? "" : report.error().message));
        return *report;
    }
    [[nodiscard]] std::string devid() const { return share::device_folder(book.device()); }
    [[nodiscard]] std::size_t count(const char* kind) const { return book.entries_of_kind(kind).size(); }
};
