# The server in an image of its own. Build it with: docker build -t ropeloft .

FROM rust:1.95-slim-bookworm AS build
WORKDIR /build
COPY . .
RUN cargo build --release --locked

FROM debian:bookworm-slim
# curl asks the server how it does; ca-certificates tell whom to trust where files are kept in a bucket.
RUN apt-get update \
    && apt-get install --yes --no-install-recommends ca-certificates curl \
    && rm -rf /var/lib/apt/lists/* \
    && install --directory --owner=10001 --group=10001 /data
COPY --from=build /build/target/release/ropeloft /usr/local/bin/ropeloft
USER 10001:10001
# Holds photos and documents, and the database file of a server that is given no PostgreSQL.
VOLUME /data
# Temporary files of workbooks stand there too, since the rest of an image may be read-only.
ENV ROPELOFT_DATABASE=/data/ropeloft.db ROPELOFT_LISTEN=0.0.0.0:8080 TMPDIR=/data
EXPOSE 8080
HEALTHCHECK --interval=10s --timeout=5s --start-period=20s \
    CMD ["curl", "--fail", "--silent", "--show-error", "http://127.0.0.1:8080/health"]
ENTRYPOINT ["ropeloft"]
CMD ["serve"]
