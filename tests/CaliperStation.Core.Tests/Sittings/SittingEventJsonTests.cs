using System.Text;
using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Sittings;
using CaliperStation.Core.Standards;
using CsCheck;

namespace CaliperStation.Core.Tests.Sittings;

public sealed class SittingEventJsonTests
{
    private static readonly DateTimeOffset At = new(2026, 3, 1, 9, 0, 0, 123, TimeSpan.Zero);

    private static readonly Gen<string> Text = Gen.String[Gen.OneOf(Gen.Char[' ', '~'], Gen.Char['\0', '\u00FF'], Gen.Const('\u202E'), Gen.Const('"')), 0, 12];

    private static readonly Gen<DateTimeOffset> Instant = Gen.Long[0, 4_000_000_000_000].Select(DateTimeOffset.FromUnixTimeMilliseconds);

    private static readonly Gen<Reading> Reading = Gen.Select(
        Gen.Long, Gen.Enum<LengthUnit>(), Gen.Long[1, long.MaxValue], Gen.Enum<ReadingSource>(), Instant, Text,
        (value, unit, resolution, source, at, raw) => new Reading(Length.FromNanometres(value), unit, Length.FromNanometres(resolution), source, at, raw));

    private static readonly Gen<SittingEvent> Event = Gen.OneOf<SittingEvent>(
        Gen.Select(Text, Text, Text, Text, Gen.Dictionary(Text, Text)[0, 3], (sitting, tag, hand, sha, answers) => (SittingEvent)new SittingEvent.Started(sitting, tag, hand, sha, answers) { At = At }),
        Text.Select(line => (SittingEvent)new SittingEvent.Confirmed(line) { At = At }),
        Gen.Select(Text, Reading, (step, reading) => (SittingEvent)new SittingEvent.Took(step, reading) { At = At }),
        Text.Select(step => (SittingEvent)new SittingEvent.Withdrew(step) { At = At }),
        Text.Array[1, 3].Select(items => (SittingEvent)new SittingEvent.Moved(items) { At = At }),
        Gen.Select(Text, Text.Null(), Text, (relation, step, reason) => (SittingEvent)new SittingEvent.SetAside(relation, step, reason) { At = At }),
        Text.Select(initials => (SittingEvent)new SittingEvent.Signed(initials) { At = At }));

    [Fact]
    public void Every_event_comes_back_as_it_was() => Event.Sample(happened =>
    {
        SittingEvent? read = SittingEventJson.Read(SittingEventJson.Kind(happened), SittingEventJson.Body(happened), At);
        switch (happened, read)
        {
            case (SittingEvent.Started was, SittingEvent.Started now):
                Assert.Equal(was with { Answers = now.Answers }, now);
                Assert.Equal(was.Answers.OrderBy(pair => pair.Key), now.Answers.OrderBy(pair => pair.Key));
                break;
            case (SittingEvent.Moved was, SittingEvent.Moved now):
                Assert.Equal(was with { Items = now.Items }, now);
                Assert.Equal(was.Items, now.Items);
                break;
            default:
                Assert.Equal(happened, read);
                break;
        }
    }, iter: 500);

    [Fact]
    public void What_studies_found_of_hands_is_kept_with_the_beginning()
    {
        HandFigure[] figures = [new("AB", Length.FromNanometres(61_234), 60, Length.Zero, 1, new DateOnly(2026, 12, 1), "s-1"), new(null, Length.FromNanometres(1), 3, Length.Tick, 2, new DateOnly(2025, 1, 31), "s-2")];
        SittingEvent.Started started = new("id", "QG-1", "AB", "hash", new Dictionary<string, string>()) { At = At, Figures = figures };

        SittingEvent.Started read = Assert.IsType<SittingEvent.Started>(SittingEventJson.Read("started", SittingEventJson.Body(started), At));

        Assert.Equal(figures, read.Figures);
        Assert.DoesNotContain("studies", SittingEventJson.Body(started with { Figures = [] }), StringComparison.Ordinal);
        Assert.Null(SittingEventJson.Read("started", SittingEventJson.Body(started).Replace("61234", "-61234", StringComparison.Ordinal), At));
        Assert.Null(SittingEventJson.Read("started", SittingEventJson.Body(started).Replace("2025-01-31", "2025-02-31", StringComparison.Ordinal), At));
    }

    [Fact]
    public void A_body_is_one_line_of_JSON_and_always_the_same_for_the_same_event() => Event.Sample(happened =>
    {
        string body = SittingEventJson.Body(happened);
        Assert.DoesNotContain(body, char.IsControl);
        Assert.Equal(body, SittingEventJson.Body(SittingEventJson.Read(SittingEventJson.Kind(happened), body, At)!));
        using JsonDocument document = JsonDocument.Parse(body);
        Assert.Equal(JsonValueKind.Object, document.RootElement.ValueKind);
    }, iter: 200);

    [Fact]
    public void Mutated_text_is_read_or_refused_and_never_throws() => Gen.Select(Event, Gen.Int[0, 400], Gen.Int[0, 5], Gen.Char, Gen.Int[0, 6]).Sample((happened, place, kind, character, otherKind) =>
    {
        StringBuilder text = new(SittingEventJson.Body(happened));
        int at = place % text.Length;
        string mutated = kind switch
        {
            0 => text.Remove(at, 1).ToString(),
            1 => text.Insert(at, character).ToString(),
            2 => text.ToString(0, at),
            3 => text.ToString(0, at) + "\ud800" + text.ToString(at, text.Length - at),
            4 => text.Insert(at, text.ToString(0, at)).ToString(),
            _ => text.Remove(at, 1).Insert(at, character).ToString(),
        };
        string[] kinds = ["started", "ready", "reading", "retaken", "moved", "aside", "signed"];
        foreach (string name in new[] { SittingEventJson.Kind(happened), kinds[otherKind] })
        {
            if (SittingEventJson.Read(name, mutated, At) is { } read)
            {
                SittingEventJson.Body(read);
            }
        }
    }, iter: 3000, print: null);

    [Theory]
    [InlineData("nothing of ours", "{}")]
    [InlineData("ready", "")]
    [InlineData("ready", "null")]
    [InlineData("ready", "[]")]
    [InlineData("ready", "{}")]
    [InlineData("ready", "{\"line\":null}")]
    [InlineData("ready", "{\"line\":1}")]
    [InlineData("ready", "{\"line\":\"\\ud800\"}")]
    [InlineData("moved", "{\"items\":\"rack\"}")]
    [InlineData("moved", "{\"items\":[]}")]
    [InlineData("moved", "{\"items\":[null]}")]
    [InlineData("aside", "{\"relation\":\"r\",\"reason\":\"x\"}")]
    [InlineData("started", "{\"sitting\":\"s\",\"tag\":\"t\",\"hand\":\"h\",\"standard\":\"0\",\"answers\":{\"a\":\"x\",\"a\":\"y\"}}")]
    [InlineData("started", "{\"sitting\":\"s\",\"tag\":\"t\",\"hand\":\"h\",\"standard\":\"0\",\"answers\":{\"a\":null}}")]
    [InlineData("started", "{\"sitting\":\"s\",\"tag\":\"t\",\"hand\":\"h\",\"standard\":\"0\",\"answers\":[]}")]
    public void What_is_none_of_ours_is_refused(string kind, string body) => Assert.Null(SittingEventJson.Read(kind, body, At));

    [Fact]
    public void Text_that_is_no_text_is_refused() => Assert.Null(SittingEventJson.Read("ready", "{\"line\":\"" + '\ud800' + "\"}", At));

    [Theory]
    [InlineData("\"valueNm\":3000000", "\"valueNm\":3000000.5")]
    [InlineData("\"valueNm\":3000000", "\"valueNm\":92233720368547758070")]
    [InlineData("\"valueNm\":3000000", "\"valueNm\":\"3000000\"")]
    [InlineData("\"unit\":\"mm\"", "\"unit\":\"cm\"")]
    [InlineData("\"resolutionNm\":10000", "\"resolutionNm\":0")]
    [InlineData("\"resolutionNm\":10000", "\"resolutionNm\":-10000")]
    [InlineData("\"source\":\"typed\"", "\"source\":\"guessed\"")]
    [InlineData("2026-03-01T09:00:00.000Z", "yesterday")]
    public void A_reading_is_refused_rather_than_guessed_at(string good, string bad)
    {
        string body = SittingEventJson.Body(new SittingEvent.Took("a", SittingRun.Reading(3000)) { At = At });
        Assert.Contains(good, body, StringComparison.Ordinal);
        Assert.NotNull(SittingEventJson.Read("reading", body, At));
        Assert.Null(SittingEventJson.Read("reading", body.Replace(good, bad, StringComparison.Ordinal), At));
    }

    [Fact]
    public void An_instant_with_an_offset_is_read_as_the_same_instant_in_UTC()
    {
        string body = SittingEventJson.Body(new SittingEvent.Took("a", SittingRun.Reading(3000)) { At = At });
        SittingEvent.Took read = Assert.IsType<SittingEvent.Took>(SittingEventJson.Read("reading", body.Replace("09:00:00.000Z", "11:00:00.000+02:00", StringComparison.Ordinal), At));
        Assert.Equal((new DateTimeOffset(2026, 3, 1, 9, 0, 0, TimeSpan.Zero), TimeSpan.Zero), (read.Reading.At, read.Reading.At.Offset));
    }
}
