using CaliperStation.Core.Quantities;
using CaliperStation.Core.Records;
using CaliperStation.Core.Reports;
using CaliperStation.Core.Tests.Records;

namespace CaliperStation.Core.Tests.Reports;

public sealed class RecordTextTests
{
    private static readonly TimeZoneInfo Zone = TimeZoneInfo.CreateCustomTimeZone("test", new TimeSpan(-3, -30, 0), null, null);

    [Theory]
    [InlineData(4_762_500, LengthDisplay.Ticks, "6 t (4.76 mm)")]
    [InlineData(4_762_500, LengthDisplay.Fraction, "3/16 in (4.76 mm)")]
    [InlineData(-4_762_500, LengthDisplay.Inch, "-0.1875 in (-4.76 mm)")]
    [InlineData(4_762_500, LengthDisplay.Millimetre, "4.76 mm")]
    public void A_length_has_millimetres_beside_it_once(long nanometres, LengthDisplay display, string shown) =>
        Assert.Equal(shown, LengthFormat.WithMillimetres(Length.FromNanometres(nanometres), display));

    [Fact]
    public void An_instant_is_shown_in_the_zone_with_its_offset() =>
        Assert.Equal("2026-11-24 22:00:05 -03:30", LocalTime.Show(new DateTimeOffset(2026, 11, 25, 1, 30, 5, TimeSpan.Zero), Zone));

    [Fact]
    public void With_its_standard_a_record_speaks_in_that_ones_words_and_unit()
    {
        Core.Records.Record record = RemeasurementSample.First();
        string text = RecordText.Text(Sealed(record), record, RemeasurementSample.Plan.Standard, Zone);
        Core.Standards.Standard standard = RemeasurementSample.Plan.Standard;

        Assert.Contains(standard.StepName("rack-left"), text, StringComparison.Ordinal);
        Assert.Contains(StandardWords.Relation(standard, "rack-height", ["rack-left"]), text, StringComparison.Ordinal);
        Assert.Contains(LengthFormat.WithMillimetres(Length.FromMicrometres(3000), standard.Show), text, StringComparison.Ordinal);
        Assert.Contains("-03:30", text, StringComparison.Ordinal);
        Assert.DoesNotContain("2026-03-01T", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Without_it_the_records_own_unit_and_the_words_of_its_ids_stand_and_hands_and_corrections_are_said()
    {
        Core.Records.Record record = Samples.Record();
        string text = RecordText.Text(Sealed(record), record, null, TimeZoneInfo.Utc);

        foreach (string part in (string[])["measured by AB, EF, signed by CD", "was QG-071", "read upside down", "rack left", "0.1250 in (3.18 mm)", "2026-11-25 01:19:05 +00:00 to 2026-11-25 01:31:05 +00:00"])
        {
            Assert.Contains(part, text, StringComparison.Ordinal);
        }

        Core.Records.Record practice = record with { Practice = true };
        Assert.Contains(", practice", RecordText.Text(Sealed(practice), practice, null, TimeZoneInfo.Utc), StringComparison.Ordinal);
    }

    private static SealedRecord Sealed(Core.Records.Record record)
    {
        using Samples.Signer signer = new();
        return SealedRecord.Seal(record, signer);
    }
}
