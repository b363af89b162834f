#include "engine/book/host.h"

#include "engine/book/entry.h"
#include "engine/book/io.h"
#include "engine/book/seal.h"

#include <algorithm>
#include <array>
#include <cstdlib>
#include <fstream>
#include <random>
#include <sstream>
#include <string_view>
#include <vector>

namespace engine {
namespace {

constexpr std::size_t kLongest = 1024; ///< bytes of either half

/// Either half of the proof: lines of a word and a value.
struct Half {
    std::string              machine;
    std::vector<std::string> numbers; ///< the noted half holds two while one follows the other

    [[nodiscard]] std::string text() const
    {
        std::string lines = "machine " + machine + '\n';
        for (const std::string& number : numbers)
            lines += "number " + number + '\n';
        return lines;
    }
};

Half half_in(const std::filesystem::path& file, const Io& io)
{
    Half       half;
    const auto bytes = io.read_whole(file, kLongest);
    if (!bytes) return half;
    std::istringstream lines(std::string(bytes->begin(), bytes->end()));
    for (std::string word, value; lines >> word >> value;) {
        if (word == "machine") half.machine = value;
        if (word == "number") half.numbers.push_back(value);
    }
    return half;
}

std::string new_number()
{
    std::random_device            source;
    std::array<unsigned char, 16> bytes{};
    for (unsigned char& byte : bytes)
        byte = static_cast<unsigned char>(source());
    return hex_of_bytes(bytes);
}

/// Whole or not there, whatever is cut off.
Status put(const std::filesystem::path& file, const Half& half, Io& io)
{
    if (Status gone = io.remove(file); !gone) return gone;
    const std::string text = half.text();
    return io.write_whole(file, {reinterpret_cast<const unsigned char*>(text.data()), text.size()});
}

/// The noted half is written before and after the book's: a start cut off anywhere leaves a book whose number
/// is noted.
Status renew(const std::filesystem::path& at_book, const std::filesystem::path& note, Half half, Io& io)
{
    const std::string number = new_number();
    half.numbers.push_back(number);
    const bool noted = note.has_parent_path() && io.make_folder(note.parent_path()) && put(note, half, io);
    half.numbers.clear();
    if (noted) half.numbers.push_back(number);
    if (Status done = put(at_book, half, io); !done) return done;
    if (noted) (void)put(note, half, io); // the one with both numbers serves as well
    return Unit{};
}

std::string trouble_with(const Half& book, const Half& note, const Host& host)
{
    if (!book.machine.empty() && !host.machine.empty() && book.machine != host.machine)
        return "The book was copied from another machine.";
    const bool known =
        note.numbers.empty() || book.numbers.empty() ||
        std::find(note.numbers.begin(), note.numbers.end(), book.numbers.front()) != note.numbers.end();
    return known ? "" : "The book is a copy from before its last start.";
}

} // namespace

Host this_host()
{
    Host          host;
    std::string   id;
    std::ifstream file("/etc/machine-id");
    // Its maker asks not to show it to others: a hash of it does as well.
    if (std::getline(file, id) && !id.empty()) host.machine = hex(sha256("witnessmark1/host\n" + id));
    const char* const state = std::getenv("XDG_STATE_HOME");
    const char* const home  = std::getenv("HOME");
    if (state != nullptr && *state != '\0')
        host.notes = std::filesystem::path(state) / "witnessmark";
    else if (home != nullptr && *home != '\0')
        host.notes = std::filesystem::path(home) / ".local" / "state" / "witnessmark";
    return host;
}

Result<Binding> bind_to_host(Book& book, const Host& host, Io& io)
{
    const auto note_of = [&] {
        return host.notes.empty() ? host.notes : host.notes / (book.device().substr(0, 32) + ".host");
    };
    const std::filesystem::path at_book = book.file().string() + ".d/host";
    Half                        here    = half_in(at_book, io);
    Binding                     binding = here.machine.empty() ? Binding::begun : Binding::same;
    if (const std::string reason = trouble_with(here, half_in(note_of(), io), host); !reason.empty()) {
        if (Status replaced = book.replace_key(reason); !replaced) return replaced.failure();
        binding = Binding::replaced;
        here    = {};
    }
    here.machine = host.machine;
    if (Status renewed = renew(at_book, note_of(), std::move(here), io); !renewed) return renewed.failure();
    return binding;
}

} // namespace engine
