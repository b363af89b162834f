#pragma once
// The figures of one topic, collected once and printed either for people ("travel: 0.417 mm") or as one JSON
// document with stable keys.
#include <memory>
#include <string>
#include <string_view>
#include <vector>

namespace field::cli {

class Answer {
  public:
    Answer();
    ~Answer();
    Answer(const Answer&)            = delete;
    Answer& operator=(const Answer&) = delete;

    void number(std::string_view key, double value, std::string_view unit, int decimals);
    void text(std::string_view key, std::string_view value);
    void numbers(std::string_view key, const std::vector<double>& values, std::string_view unit,
                 int decimals);
    void whole(std::string_view key, const std::vector<int>& values);
    /// Columns of equal length under one name: {"key": {"name": {"title": [..], ..}}} in JSON, for people one
    /// line a row.
    struct Column {
        std::string_view    title;
        std::vector<double> values;
        int                 decimals = 0;
    };
    void table(std::string_view key, std::string_view name, const std::vector<Column>& columns);
    /// null in JSON; for people the reason.
    void absent(std::string_view key, std::string_view why);
    /// A sentence for people, an entry of "notes" in JSON.
    void note(std::string_view sentence);

    void print(bool as_json) const;

  private:
    struct Body;
    std::unique_ptr<Body> body_;
};

} // namespace field::cli
