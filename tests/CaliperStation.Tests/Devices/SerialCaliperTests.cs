using CaliperStation.Core.Quantities;
using CaliperStation.Core.Readings;
using CaliperStation.Core.Wire;
using CaliperStation.Devices;
using CsCheck;
using Microsoft.Extensions.Time.Testing;

namespace CaliperStation.Tests.Devices;

public sealed class SerialCaliperTests
{
    private static readonly TimeSpan _second = TimeSpan.FromSeconds(1);
    private static readonly CaliperRequest _request = new("R\r"u8.ToArray());

    private readonly FakeTimeProvider _time = new();

    [Fact]
    public void Loss_is_told_at_the_next_poll_and_the_port_comes_back_by_the_same_name()
    {
        FakeLine first = new();
        FakeLine second = new();
        SerialCaliper caliper = Caliper(new FakePorts(first, second));
        SteppedCaliper run = new(caliper, _time);
        Assert.IsType<CaliperEvent.Opened>(run.Next());
        first.Put("+1.00 mm\r");
        Assert.IsType<CaliperEvent.Value>(run.Next());

        first.Put("+66.6");
        run.Until(() => first.BytesToRead == 0);
        first.Unplugged = true;
        CaliperEvent.Lost lost = Assert.IsType<CaliperEvent.Lost>(run.Next());
        Assert.Equal(LossKind.Gone, lost.Kind);
        Assert.Equal(1, first.PollsAfterLoss);   // the first poll, 8 ms later at most, sees it

        second.Put("6 mm\r+55.55 mm\r");   // waited before the port was open again
        Assert.IsType<CaliperEvent.Opened>(run.Next());
        run.Until(() => second.BytesToRead == 0);
        second.Put("+2.00 mm\r");
        Assert.Equal("+2.00 mm", Assert.IsType<CaliperEvent.Value>(run.Next()).Reading.Raw);
        Assert.True(first.Disposed);
        caliper.Close();
        Assert.True(second.Disposed);
    }

    [Fact]
    public void A_value_is_a_whole_reading_with_both_its_times()
    {
        FakeLine line = new();
        SteppedCaliper run = new(Caliper(new FakePorts(line)), _time);
        run.Next<CaliperEvent.Opened>();
        run.For(TimeSpan.FromSeconds(0.1));
        _time.Advance(TimeSpan.FromTicks(7));
        line.Put("-0.5000 in\r\n");

        DateTimeOffset before = _time.GetUtcNow();
        Reading reading = run.Next<CaliperEvent.Value>().Reading;
        Assert.Equal(
            (Length.FromNanometres(-12_700_000), LengthUnit.Inch, Length.FromNanometres(2_540), ReadingSource.Serial, "-0.5000 in", ""),
            (reading.Value, reading.Unit, reading.Resolution, reading.Source, reading.Raw, reading.Hand));
        Assert.InRange(_time.GetElapsedTime(0) - reading.Arrived, TimeSpan.Zero, SerialCaliper.PollEvery);
        Assert.Equal(0, reading.At.Ticks % TimeSpan.TicksPerMillisecond);
        Assert.InRange((reading.At - before).Duration(), TimeSpan.Zero, SerialCaliper.PollEvery);
    }

    [Trait("trouble", "T43")]
    [Theory]
    [InlineData(0.0)]
    [InlineData(0.1)]
    [InlineData(0.4)]
    [InlineData(30.0)]
    [InlineData(301.3)]
    public void After_a_replug_it_is_back_within_a_second_and_a_half_of_its_node(double secondsAway)
    {
        FakeLine first = new();
        FakePorts ports = new(first, new FakeLine());
        SteppedCaliper run = new(Caliper(ports), _time);
        run.Next<CaliperEvent.Opened>();
        run.For(_second);
        (first.Unplugged, ports.CurrentNode) = (true, null);
        IReadOnlyList<CaliperEvent> away = run.For(TimeSpan.FromSeconds(secondsAway));
        ports.CurrentNode = "/dev/fake0";
        IReadOnlyList<CaliperEvent> back = run.For(TimeSpan.FromSeconds(1.5));

        Assert.Collection(
            away.Concat(back),
            told => Assert.Equal(LossKind.Gone, Assert.IsType<CaliperEvent.Lost>(told).Kind),   // once; that it is not there is no news
            told => Assert.IsType<CaliperEvent.Opened>(told));
        Assert.Contains(back, told => told is CaliperEvent.Opened);
    }

    [Fact]
    public void It_is_back_in_time_though_its_close_hangs_and_its_node_is_not_ready_at_first()
    {
        using ManualResetEventSlim hang = new();
        FakeLine first = new() { HangsOnDispose = hang };
        FakePorts ports = new(first, new FakeLine { OnOpen = new IOException() }, new FakeLine());
        SteppedCaliper run = new(Caliper(ports), _time);
        run.Next<CaliperEvent.Opened>();
        first.Unplugged = true;
        long back = _time.GetTimestamp();   // a replug so quick that nobody saw the node away
        run.Next<CaliperEvent.Opened>();
        hang.Set();

        Assert.InRange(_time.GetElapsedTime(back), LineCloser.Limit, TimeSpan.FromSeconds(1.5));
    }

    [Fact]
    public void Opens_that_fail_are_tried_ever_more_rarely_up_to_five_seconds_and_at_once_when_another_device_comes()
    {
        FakeLine[] lines = [.. Enumerable.Range(0, 12).Select(_ => new FakeLine { OnOpen = new IOException() })];
        FakePorts ports = new([.. lines, new FakeLine()]);
        SteppedCaliper run = new(Caliper(ports), _time);
        Assert.Equal(LossKind.Busy, run.Next<CaliperEvent.Lost>().Kind);
        List<double> waits = [];
        for (int i = 1; i < 9; i++)
        {
            long failed = _time.GetTimestamp();
            run.Until(() => lines[i].Disposed);
            waits.Add(Math.Round(_time.GetElapsedTime(failed).TotalSeconds * 4) / 4);
        }

        Assert.Equal([0.25, 0.5, 1, 2, 4, 5, 5, 5], waits);
        Assert.Empty(run.Rest());   // told once
        ports.CurrentNode = "/dev/fake1";
        run.Until(() => lines[9].Disposed);
        long other = _time.GetTimestamp();
        run.Until(() => lines[10].Disposed);
        Assert.InRange(_time.GetElapsedTime(other), TimeSpan.Zero, TimeSpan.FromSeconds(0.3));
    }

    [Fact]
    public void A_line_that_opens_only_to_be_lost_at_once_is_told_once_and_backed_off_from()
    {
        FakePorts ports = new([.. Enumerable.Range(0, 20).Select(_ => new FakeLine { OnBytesToRead = new IOException() })]);
        SteppedCaliper run = new(Caliper(ports), _time);

        Assert.IsType<CaliperEvent.Lost>(Assert.Single(run.For(TimeSpan.FromSeconds(10))));
        Assert.InRange(ports.Tries, 4, 7);
    }

    [Fact]
    public void Another_device_behind_the_same_name_is_told_and_the_same_one_is_not()
    {
        FakeLine first = new();
        FakeLine second = new();
        FakePorts ports = new(first, second, new FakeLine()) { CurrentIdentity = "caliper-1" };
        SteppedCaliper run = new(Caliper(ports), _time);
        Assert.IsType<CaliperEvent.Opened>(run.Next());
        first.Unplugged = true;
        Assert.IsType<CaliperEvent.Lost>(run.Next());
        Assert.IsType<CaliperEvent.Opened>(run.Next());
        second.Unplugged = true;
        ports.CurrentIdentity = "caliper-2\u001b";
        Assert.IsType<CaliperEvent.Lost>(run.Next());
        Assert.IsType<CaliperEvent.Opened>(run.Next());

        CaliperEvent.Noted told = Assert.IsType<CaliperEvent.Noted>(run.Next());
        Assert.Equal(NoteKind.OtherDevice, told.Kind);
        Assert.Contains("caliper-2\\x1B", told.Words, StringComparison.Ordinal);
    }

    [Trait("trouble", "T42")]
    [Theory]
    [InlineData(null)]
    [InlineData("/dev/fake1")]
    public void A_node_that_vanishes_or_is_another_is_a_loss_within_a_quarter_of_a_second_though_the_line_keeps_silent(string? node)
    {
        FakePorts ports = new(new FakeLine(), new FakeLine());
        SteppedCaliper run = new(Caliper(ports), _time);
        run.Next<CaliperEvent.Opened>();
        long gone = _time.GetTimestamp();
        ports.CurrentNode = node;

        Assert.Equal(LossKind.Gone, Assert.IsType<CaliperEvent.Lost>(run.Next()).Kind);
        Assert.InRange(_time.GetElapsedTime(gone), TimeSpan.Zero, SerialCaliper.LookEvery + (2 * SerialCaliper.PollEvery));
        Assert.Equal(node is not null, run.For(_second).OfType<CaliperEvent.Opened>().Any());
    }

    [Fact]
    public void A_port_that_is_not_there_is_told_once_and_looked_for_each_quarter_of_a_second()
    {
        FakePorts ports = new(new FakeLine()) { CurrentNode = null };
        SteppedCaliper run = new(Caliper(ports), _time);
        CaliperEvent.Lost lost = Assert.IsType<CaliperEvent.Lost>(run.Next());
        Assert.Equal(LossKind.NotThere, lost.Kind);

        int before = ports.Looks;
        Assert.Empty(run.For(TimeSpan.FromSeconds(60)));
        Assert.InRange(ports.Looks - before, 239, 241);
    }

    [Trait("trouble", "T53")]
    [Fact]
    public void T53_a_busy_port_is_told_at_once_with_the_modem_search_and_opened_when_it_is_free()
    {
        FakeLine line = new();
        string hint = SystemPorts.ModemHint("/dev/ttyACM0");
        FakePorts ports = new(line) { Trouble = new(PortTroubleKind.Busy, "It is busy." + hint) };
        SteppedCaliper run = new(Caliper(ports), _time);
        CaliperEvent.Lost lost = Assert.IsType<CaliperEvent.Lost>(run.Next());
        Assert.Equal(LossKind.Busy, lost.Kind);
        Assert.NotEmpty(hint);
        Assert.EndsWith(hint, lost.Words, StringComparison.Ordinal);
        Assert.Empty(run.For(TimeSpan.FromSeconds(10)));
        ports.Trouble = null;
        long free = _time.GetTimestamp();
        Assert.IsType<CaliperEvent.Opened>(run.Next());

        Assert.InRange(_time.GetElapsedTime(free), TimeSpan.Zero, SerialCaliper.MaxWait + SerialCaliper.LookEvery);
        Assert.Empty(SystemPorts.ModemHint("/dev/ttyUSB0"));
    }

    [Fact]
    public void A_line_that_fails_to_open_says_why()
    {
        FakeLine line = new() { OnOpen = new UnauthorizedAccessException() };

        Assert.Equal(LossKind.Busy, Assert.IsType<CaliperEvent.Lost>(new SteppedCaliper(Caliper(new FakePorts(line)), _time).Next()).Kind);
        Assert.True(line.Disposed);
    }

    [Trait("trouble", "T46")]
    [Fact]
    public void A_request_is_written_by_the_owner_and_never_to_a_lost_port_nor_to_the_next_one()
    {
        FakeLine first = new();
        FakeLine second = new();
        SerialCaliper caliper = Caliper(new FakePorts(first, second), _request);
        SteppedCaliper run = new(caliper, _time);
        Assert.True(caliper.Asks);
        Assert.False(caliper.Request());   // not open yet
        run.Next<CaliperEvent.Opened>();
        Assert.True(caliper.Request());
        run.Until(() => first.Written.Count == 1);

        first.Unplugged = true;
        Assert.True(caliper.Request());    // nobody knows yet
        run.Next<CaliperEvent.Lost>();
        Assert.False(caliper.Request());
        run.Next<CaliperEvent.Opened>();
        run.For(_second);
        Assert.False(first.WroteAfterLoss);
        Assert.Equal(["R\r"], first.Written);
        Assert.Empty(second.Written);
        caliper.Close();
        Assert.False(caliper.Request());
    }

    [Fact]
    public void A_caliper_without_a_request_is_not_asked()
    {
        FakeLine line = new();
        SerialCaliper caliper = Caliper(new FakePorts(line));
        SteppedCaliper run = new(caliper, _time);
        run.Next<CaliperEvent.Opened>();

        Assert.False(caliper.Asks);
        Assert.False(caliper.Request());
        run.For(_second);
        Assert.Empty(line.Written);
    }

    /// <summary>Each act: whether to replug or ask, and how many milliseconds go by after it.</summary>
    [Fact]
    public void However_it_is_replugged_and_asked_it_comes_back_in_time_and_no_request_is_written_to_a_line_that_was_not_asked() =>
        Gen.Select(Gen.Bool, Gen.Int[0, 3_000]).Array[1, 30].Sample(acts =>
        {
            FakeTimeProvider time = new();
            FakeLine[] lines = [.. acts.Select(_ => new FakeLine()), new FakeLine()];
            FakePorts ports = new(lines);
            SerialCaliper caliper = new(new SerialSettings("/dev/fake"), () => new AsciiLineDecoder(), LengthUnit.Millimetre, time, ports, request: _request);
            SteppedCaliper run = new(caliper, time);
            List<CaliperEvent> told = [run.Next()];
            int current = 0;
            foreach ((bool replug, int milliseconds) in acts)
            {
                TimeSpan wait = TimeSpan.FromMilliseconds(milliseconds);
                if (!replug)
                {
                    int before = lines[current].Written.Count;
                    Assert.True(caliper.Request());
                    told.AddRange(run.For(SerialCaliper.PollEvery + wait));
                    Assert.Equal(before + 1, lines[current].Written.Count);
                    continue;
                }

                caliper.Request();   // and nobody ever gets it
                (lines[current].Unplugged, ports.CurrentNode) = (true, null);
                told.AddRange(run.For(wait));
                ports.CurrentNode = "/dev/fake0";
                told.AddRange(run.For(TimeSpan.FromSeconds(1.5)));
                current++;
                Assert.IsType<CaliperEvent.Opened>(told[^1]);
            }

            Assert.Equal(1 + (2 * current), told.Count(one => one is CaliperEvent.Opened or CaliperEvent.Lost { Kind: LossKind.Gone }));
            Assert.All(told.OfType<CaliperEvent.Lost>(), lost => Assert.Equal(LossKind.Gone, lost.Kind));
            Assert.DoesNotContain(lines, line => line.WroteAfterLoss);
            Assert.Equal(acts.Count(act => !act.Item1), lines.Sum(line => line.Written.Count));
        }, iter: 200);

    [Fact]
    public void A_request_that_is_not_taken_is_a_loss()
    {
        FakeLine line = new() { OnWrite = new TimeoutException() };
        SerialCaliper caliper = Caliper(new FakePorts(line), _request);
        SteppedCaliper run = new(caliper, _time);
        run.Next<CaliperEvent.Opened>();
        caliper.Request();

        Assert.Equal(LossKind.Gone, Assert.IsType<CaliperEvent.Lost>(run.Next()).Kind);
        Assert.False(caliper.Request());
    }

    [Fact]
    public async Task A_thread_of_its_own_steps_it_and_closes_it_when_it_is_stopped()
    {
        FakeLine line = new();
        EventLog log = new();
        using CancellationTokenSource stop = new();
        Task run = Caliper(new FakePorts(line)).RunAsync(log.Post, stop.Token);
        await log.NextAsync<CaliperEvent.Opened>();
        line.Put("+1.00 mm\r");
        await log.NextAsync<CaliperEvent.Value>();
        await stop.CancelAsync();
        await run.WaitAsync(TimeSpan.FromSeconds(20));

        Assert.True(line.Disposed);
    }

    [Fact]
    public void A_close_that_fails_does_not_stop_the_caliper()
    {
        FakeLine first = new() { OnDispose = new IOException() };
        SteppedCaliper run = new(Caliper(new FakePorts(first, new FakeLine())), _time);
        run.Next<CaliperEvent.Opened>();
        first.OnBytesToRead = new InvalidOperationException();

        Assert.IsType<CaliperEvent.Lost>(run.Next());
        Assert.IsType<CaliperEvent.Opened>(run.Next());
    }

    private SerialCaliper Caliper(FakePorts ports, CaliperRequest? request = null) =>
        new(new SerialSettings("/dev/serial/by-id/fake"), () => new AsciiLineDecoder(), LengthUnit.Millimetre, _time, ports, request: request);
}
