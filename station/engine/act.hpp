// What the engine's coroutines return: a value, or the device fault that ended them.
#pragma once

#include "fixtures/port/devices.hpp"

namespace padtrim::engine {

template <class T>
using Act = port::Task<port::Outcome<T>>;

}  // namespace padtrim::engine
