#pragma once
// The exchange in the background: goes by itself when the shared folder is there, never makes the screen
// wait. Folder work is done on a worker; the book is touched only from absorb(), on the screen's thread.
#include "engine/book/book.h"
#include "field/screens/fitter/send_box.h"

#include <filesystem>
#include <functional>
#include <memory>

namespace field::app {

class Sender {
  public:
    /// `shared` empty: no folder set, nothing ever runs. Book and clock must outlive it.
    Sender(engine::Book& book, const engine::Clock& clock, std::filesystem::path shared);
    ~Sender();
    Sender(const Sender&)            = delete;
    Sender& operator=(const Sender&) = delete;

    /// Called from the worker whenever absorb() has something to do.
    void on_news(std::function<void()> call);
    /// Takes what the worker brought and gives it the next piece; a bounded amount a call.
    void absorb();
    /// Something was recorded: go soon.
    void news_to_send();
    void send_now();
    void cancel();
    /// One whole exchange, waiting for it: scripts and tests.
    [[nodiscard]] engine::Status finish_one();

    [[nodiscard]] int                            to_send() const; ///< own entries not yet in the folder
    [[nodiscard]] screens::ExchangeGlance        glance() const;
    [[nodiscard]] std::vector<screens::SendLine> lines() const; ///< newest job first

  private:
    struct Inside;
    std::unique_ptr<Inside> inside_;
};

} // namespace field::app
