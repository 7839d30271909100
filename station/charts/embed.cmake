# The scripts of this folder and the chart library become object code of room station/charts, as they are.
set(charts_library ${CMAKE_CURRENT_LIST_DIR}/node_modules/echarts/dist/echarts.common.min.js)
execute_process(COMMAND ${CMAKE_CURRENT_LIST_DIR}/install RESULT_VARIABLE fetched)
if(NOT fetched EQUAL 0)
    message(FATAL_ERROR "The chart library is missing; run station/install with a network once.")
endif()
set_property(SOURCE ${CMAKE_CURRENT_LIST_DIR}/scripts.cpp APPEND PROPERTY OBJECT_DEPENDS
    "${charts_library};${CMAKE_CURRENT_LIST_DIR}/marks.js;${CMAKE_CURRENT_LIST_DIR}/ranks.js;${CMAKE_CURRENT_LIST_DIR}/drawing.js")
set_property(SOURCE ${CMAKE_CURRENT_LIST_DIR}/scripts.cpp APPEND PROPERTY COMPILE_DEFINITIONS
    PADTRIM_CHARTS_FOLDER="${CMAKE_CURRENT_LIST_DIR}")
