# The numbered migrations of this folder become one source file of db/ledger.
file(GLOB migration_files CONFIGURE_DEPENDS ${CMAKE_CURRENT_LIST_DIR}/[0-9][0-9][0-9][0-9]_*.sql)
set(migrations_source ${CMAKE_BINARY_DIR}/generated/ledger_migrations.cpp)
add_custom_command(
    OUTPUT ${migrations_source}
    COMMAND ${CMAKE_COMMAND} -DFOLDER=${CMAKE_CURRENT_LIST_DIR} -DOUTPUT=${migrations_source}
            -P ${CMAKE_CURRENT_LIST_DIR}/write_migrations.cmake
    DEPENDS ${migration_files} ${CMAKE_CURRENT_LIST_DIR}/write_migrations.cmake
    COMMENT "Embedding the ledger's schema" VERBATIM)
target_sources(room_db_ledger PRIVATE ${migrations_source})
