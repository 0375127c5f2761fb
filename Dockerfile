# The binary is static and holds the contract and all data, so the image needs
# nothing else: docker build -t snugtail .
FROM golang:1.26 AS build
WORKDIR /src
COPY go.mod go.sum ./
RUN go mod download
COPY api api
COPY cmd cmd
COPY joint joint
COPY service service
ARG VERSION=dev
ARG COMMIT=unknown
RUN CGO_ENABLED=0 go build -trimpath -buildvcs=false -ldflags "-s -w -X main.version=${VERSION} -X main.commit=${COMMIT}" -o /snugtail ./cmd/api

FROM scratch
COPY LICENSE service/draw/fonts/OFL.txt /
COPY --from=build /snugtail /snugtail
# A number, so that an orchestrator can see that it is not root.
USER 65532:65532
# Probes and scrapes come from outside the container; publish only 8080.
ENV SNUGTAIL_ADMIN_ADDR=:8081
EXPOSE 8080 8081
HEALTHCHECK --interval=10s --timeout=5s --start-period=5s --retries=3 CMD ["/snugtail", "-healthcheck"]
ENTRYPOINT ["/snugtail"]
