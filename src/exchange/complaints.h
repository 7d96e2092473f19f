// Everything wrong with a document, where its reader gives the first thing alone.
#pragma once

#include <string>
#include <utility>
#include <vector>

#include "base/result.h"
#include "exchange/document.h"

namespace bight::exchange {

// While it lives, readers on this thread read on where they would stop at the first thing wrong,
// and everything that Fields complains of is kept here. One at a time on a thread.
class Complaints {
 public:
  Complaints();
  ~Complaints();
  Complaints(const Complaints&) = delete;
  Complaints& operator=(const Complaints&) = delete;

  // What was complained of, in the order of reading, each place and code once.
  std::vector<base::Failure> all() const { return kept_; }
  void add(const base::Failure& failure);

  // The one that lives on this thread; null when nobody asks for all.
  static Complaints* present();

 private:
  std::vector<base::Failure> kept_;
};

// All that `read` finds wrong with the document; the failure it gives is among them. Empty exactly
// when it can be read.
template <typename Item>
std::vector<base::Failure> complaints_about(const Document& document,
                                            base::Result<Item> (*read)(const Document&)) {
  Complaints complaints;
  const base::Result<Item> item = read(document);
  if (item.ok()) return {};
  complaints.add(item.failure());
  return complaints.all();
}

}  // namespace bight::exchange
