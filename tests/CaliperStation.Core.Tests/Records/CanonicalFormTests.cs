using System.Globalization;
using System.Text;
using System.Text.Json;
using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Records;
using CaliperStation.Core.Standards;
using CsCheck;

namespace CaliperStation.Core.Tests.Records;

public class CanonicalFormTests
{
    /// <summary>RFC 8785 (JSON Canonicalization Scheme), appendix B, table of number samples; https://www.rfc-editor.org/rfc/rfc8785#appendix-B.</summary>
    [Theory]
    [InlineData("0000000000000000", "0")]
    [InlineData("8000000000000000", "0")]
    [InlineData("0000000000000001", "5e-324")]
    [InlineData("8000000000000001", "-5e-324")]
    [InlineData("7fefffffffffffff", "1.7976931348623157e+308")]
    [InlineData("ffefffffffffffff", "-1.7976931348623157e+308")]
    [InlineData("4340000000000000", "9007199254740992")]
    [InlineData("c340000000000000", "-9007199254740992")]
    [InlineData("4430000000000000", "295147905179352830000")]
    [InlineData("44b52d02c7e14af5", "9.999999999999997e+22")]
    [InlineData("44b52d02c7e14af6", "1e+23")]
    [InlineData("44b52d02c7e14af7", "1.0000000000000001e+23")]
    [InlineData("444b1ae4d6e2ef4e", "999999999999999700000")]
    [InlineData("444b1ae4d6e2ef4f", "999999999999999900000")]
    [InlineData("444b1ae4d6e2ef50", "1e+21")]
    [InlineData("3eb0c6f7a0b5ed8c", "9.999999999999997e-7")]
    [InlineData("3eb0c6f7a0b5ed8d", "0.000001")]
    [InlineData("41b3de4355555553", "333333333.3333332")]
    [InlineData("41b3de4355555554", "333333333.33333325")]
    [InlineData("41b3de4355555555", "333333333.3333333")]
    [InlineData("41b3de4355555556", "333333333.3333334")]
    [InlineData("41b3de4355555557", "333333333.33333343")]
    [InlineData("becbf647612f3696", "-0.0000033333333333333333")]
    [InlineData("43143ff3c1cb0959", "1424953923781206.2")]
    public void Numbers_are_written_as_the_published_samples_are(string bits, string text) =>
        Assert.Equal(text, CanonicalNumber.Of(BitConverter.UInt64BitsToDouble(ulong.Parse(bits, NumberStyles.HexNumber, CultureInfo.InvariantCulture))));

    [Fact]
    public void A_number_that_is_none_is_misuse()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => CanonicalNumber.Of(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => CanonicalNumber.Of(double.PositiveInfinity));
    }

    [Fact]
    public void Every_number_comes_back_as_it_was() => Gen.Double.Where(double.IsFinite).Sample(
        number => double.Parse(CanonicalNumber.Of(number), CultureInfo.InvariantCulture).Equals(number == 0 ? 0 : number), iter: 2000);

    /// <summary>A record of a bench without studies has the bytes it always had; one with a study names it, and comes back whole.</summary>
    [Fact]
    public void The_study_a_hand_rests_on_is_kept_and_a_record_without_one_has_the_bytes_of_before()
    {
        Core.Records.Record before = Samples.Record();
        HandFigure figure = new("AB", Length.FromNanometres(61_234), 60, Length.FromNanometres(30_001), 2, new DateOnly(2026, 12, 1), "20261201T080000000Z-STUDY");
        Core.Records.Record after = before with
        {
            Judging = before.Judging with { Figures = [figure, figure with { Hand = null }] },
            Verdicts = [before.Verdicts[0] with { Degrees = 7 }],
        };
        string text = Encoding.UTF8.GetString(RecordBytes.Write(after));
        string[] added =
        [
            "\"studies\":[{\"date\":\"2026-12-01\",\"hand\":\"AB\",\"repeatabilityDegrees\":60,\"repeatabilityNm\":61234,\"reproducibilityDegrees\":2,\"reproducibilityNm\":30001,\"study\":\"20261201T080000000Z-STUDY\"},"
                + "{\"date\":\"2026-12-01\",\"hand\":null,\"repeatabilityDegrees\":60,\"repeatabilityNm\":61234,\"reproducibilityDegrees\":2,\"reproducibilityNm\":30001,\"study\":\"20261201T080000000Z-STUDY\"}],",
            "\"degrees\":7,",
        ];

        Assert.All(added, part => Assert.Contains(part, text, StringComparison.Ordinal));
        Assert.Equal(Encoding.UTF8.GetString(RecordBytes.Write(before)), added.Aggregate(text, (rest, part) => rest.Replace(part, "", StringComparison.Ordinal)));
        using Samples.Signer signer = new();
        Core.Records.Record back = SealedRecord.Read(SealedRecord.Seal(after, signer).ToText())!.Record!;
        Assert.Equal(after.Judging, back.Judging);
        Assert.Equal(7, back.Verdicts[0].Degrees);
        Assert.Equal(RecordBytes.Write(after), RecordBytes.Write(back));
    }

    [Theory]
    [InlineData(false, false, "")]
    [InlineData(true, false, "\"excludes\":\"lower\",")]
    [InlineData(false, true, "\"excludes\":\"upper\",")]
    [InlineData(true, true, "\"excludes\":\"both\",")]
    public void Excluded_limits_are_kept_and_included_ones_leave_the_bytes_of_before(bool lower, bool upper, string member)
    {
        Core.Records.Record before = Samples.Record();
        Core.Records.Record record = before with { Verdicts = [before.Verdicts[0] with { LowerExcluded = lower, UpperExcluded = upper }] };
        byte[] bytes = RecordBytes.Write(record);
        Assert.Equal(
            Encoding.UTF8.GetString(RecordBytes.Write(before)).Replace("\"kind\":\"gap\"", member + "\"kind\":\"gap\"", StringComparison.Ordinal),
            Encoding.UTF8.GetString(bytes));
        RecordVerdict read = RecordParse.Of(bytes).Record!.Verdicts[0];
        Assert.Equal((lower, upper), (read.LowerExcluded, read.UpperExcluded));
        Assert.False(RecordParse.Of(Encoding.UTF8.GetBytes(Encoding.UTF8.GetString(bytes).Replace("\"kind\":\"gap\"", "\"excludes\":\"none\",\"kind\":\"gap\"", StringComparison.Ordinal))).IsRecord);
    }

    [Theory]
    [InlineData(1)]
    [InlineData(2)]
    [InlineData(3)]
    public void The_bytes_of_a_record_are_the_golden_ones(int schema)
    {
        byte[] bytes = RecordBytes.Write(Samples.Record() with { Schema = schema });
        string golden = File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "TestData", "Records", $"record-schema-{schema}.json")).TrimEnd('\n');
        Assert.Equal(golden, Encoding.UTF8.GetString(bytes));
    }

    [Fact]
    public void A_record_of_an_old_schema_stays_readable()
    {
        byte[] golden = Encoding.UTF8.GetBytes(File.ReadAllText(Path.Combine(AppContext.BaseDirectory, "TestData", "Records", "record-schema-1.json")).TrimEnd('\n'));
        RecordParse parsed = RecordParse.Of(golden);
        Assert.True(parsed.IsRecord, parsed.Fault);
        Assert.Equal("QG-017", parsed.Record.Tag);
        Assert.Equal(3_175_000, parsed.Record.Readings[0].Takes[0].Value.Nanometres);
        Assert.Equal("+3.175 mm\\x0D", parsed.Record.Readings[0].Takes[0].Raw);
        Assert.Equal(["AB", "AB"], parsed.Record.Readings.SelectMany(reading => reading.Takes).Select(take => take.Hand));   // one hand took all
        Assert.Equal(["AB"], parsed.Record.Hands);
        Assert.False(parsed.Record.IsPractice);
        Assert.Empty(parsed.Record.TagCorrections);
    }

    [Fact]
    public void A_record_says_of_which_events_it_was_made_what_was_confirmed_and_what_was_withdrawn()
    {
        Core.Records.Record record = RecordParse.Of(RecordBytes.Write(Samples.Record())).Record!;
        Assert.Equal(new RecordEvents(new(11, new string('b', 64)), new(19, new string('c', 64))), record.Events);
        Assert.Equal(Samples.Record().Confirmed, record.Confirmed);
        RecordWithdrawal withdrawal = Assert.Single(record.Withdrawn);
        Assert.Equal(("rack-left", true, 3_900_000, "AB"), (withdrawal.Step, withdrawal.Moved, (long)withdrawal.Takes[0].Value.Nanometres, withdrawal.Takes[0].Hand));
    }

    [Theory]
    [InlineData(ReadingSource.Emulated)]
    [InlineData(ReadingSource.Replay)]
    public void A_withdrawn_reading_that_no_person_took_makes_the_record_practice(ReadingSource source)
    {
        Core.Records.Record record = Samples.Record();
        Assert.False(record.IsPractice);
        Assert.True((record with { Withdrawn = [record.Withdrawn[0] with { Takes = [record.Withdrawn[0].Takes[0] with { Source = source }] }] }).IsPractice);
    }

    [Fact]
    public void Names_stand_in_the_order_of_rfc_8785_and_nothing_is_blank()
    {
        using JsonDocument document = JsonDocument.Parse(RecordBytes.Write(Samples.Record()));
        static void Check(JsonElement element)
        {
            if (element.ValueKind == JsonValueKind.Object)
            {
                string[] names = [.. element.EnumerateObject().Select(member => member.Name)];
                Assert.Equal(names.Order(StringComparer.Ordinal), names);
                element.EnumerateObject().ToList().ForEach(member => Check(member.Value));
            }
            else if (element.ValueKind == JsonValueKind.Array)
            {
                element.EnumerateArray().ToList().ForEach(Check);
            }
        }

        Check(document.RootElement);
        Assert.DoesNotContain(" :", document.RootElement.GetRawText(), StringComparison.Ordinal);
        Assert.DoesNotContain(", \"", document.RootElement.GetRawText(), StringComparison.Ordinal);
    }

    [Fact]
    public void What_is_read_back_gives_the_same_bytes_whatever_text_it_holds() => Gen.Select(Gen.String, Gen.Long, Gen.Double.Where(double.IsFinite)).Sample((text, number, real) =>
    {
        string safe = PrintableText.Escape(text);
        byte[] bytes = RecordBytes.Write(Samples.Record() with { Tag = safe, Seed = number, Comparisons = [new(safe, "random", real, -real, Math.Abs(real), true)] });
        RecordParse parsed = RecordParse.Of(bytes);
        return parsed.IsRecord && RecordBytes.Write(parsed.Record).SequenceEqual(bytes) && parsed.Record.Tag == safe;
    }, iter: 500);

    [Theory]
    [InlineData("\u001b[2J")]
    [InlineData("\u202e")]
    [InlineData("\u009b31m")]
    public void A_record_that_would_write_on_the_terminal_is_refused(string text) =>
        Assert.False(RecordParse.Of(RecordBytes.Write(Samples.Record() with { Tag = text })).IsRecord);

    [Theory]
    [InlineData("")]
    [InlineData("null")]
    [InlineData("[]")]
    [InlineData("{}")]
    [InlineData("{\"schema\":2}")]
    [InlineData("{\"schema\":3}")]
    [InlineData("{\"schema\":4}")]
    [InlineData("{\"schema\":\"1\"}")]
    [InlineData("{\"schema\":1e400}")]
    [InlineData("[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[")]
    public void Hostile_bytes_are_refused_with_a_reason(string text)
    {
        RecordParse parsed = RecordParse.Of(Encoding.UTF8.GetBytes(text));
        Assert.False(parsed.IsRecord);
        Assert.NotEmpty(parsed.Fault);
    }

    [Fact]
    public void The_same_record_written_in_another_way_is_refused()
    {
        string text = Encoding.UTF8.GetString(RecordBytes.Write(Samples.Record()));
        foreach ((string from, string to) in ((string, string)[])[
            ("{\"answers\"", "{ \"answers\""), ("\"verified\":true", "\"verified\":true,\"extra\":1"), ("\"number\":1", "\"number\":1.0"),
            ("0.95", "0.950"), ("QG-017", "\\u0051G-017"), ("\"schema\":3", "\"schema\":3,\"schema\":3"), ("\"schema\":3", "\"schema\":2"), ("\"why\":\"moved\"", "\"why\":\"lost\""), ("\"practice\":false,", ""), ("\"asides\":[]", "\"asides\":{}"),
            ("2026-11-25T01:19:05.123Z", "2026-11-25T01:19:05.123+00:00"), ("\"en\":0.5", "\"en\":1e999"), ("\"in\"", "\"IN\""), ("\"tag\":\"QG-017\"", "\"tag\":\"\\ud800\"")])
        {
            Assert.Contains(from, text, StringComparison.Ordinal);
            Assert.False(RecordParse.Of(Encoding.UTF8.GetBytes(text.Replace(from, to, StringComparison.Ordinal))).IsRecord, $"{from} → {to}");
        }
    }

    [Fact]
    public void Any_bytes_at_all_are_a_value_never_an_exception()
    {
        byte[] good = RecordBytes.Write(Samples.Record());
        Gen.Select(Gen.Int[0, good.Length - 1], Gen.Byte).Sample((at, value) =>
        {
            byte[] bytes = [.. good];
            bytes[at] = value;
            RecordParse parsed = RecordParse.Of(bytes);
            return parsed.IsRecord || parsed.Fault.Length > 0;
        }, iter: 2000);
    }
}
