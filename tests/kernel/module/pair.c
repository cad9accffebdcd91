// SPDX-License-Identifier: MIT OR GPL-2.0
/*
 * Two CAN controllers, pair0 and pair1, on one wire that exists only here: for what no emulated controller does. Their error counters are
 * written from outside, and the kernel's own code for CAN devices makes of it what it makes of a real controller: states, error
 * reports, bus-off, restart (Documentation/networking/can.rst; drivers/net/can/dev in the kernel).
 *
 *   /sys/class/net/pair0/wire/errors   "TRANSMIT RECEIVE": the error counters; 256 for transmit is bus-off
 */
#include <linux/can/dev.h>
#include <linux/can/error.h>
#include <linux/can/skb.h>
#include <linux/ethtool.h>
#include <linux/module.h>
#include <linux/netdevice.h>
#include <linux/rtnetlink.h>

#define ENDS 2

struct end {
	struct can_priv can; /* must come first */
	struct can_berr_counter counters;
	struct net_device *other;
};

static struct net_device *ends[ENDS];

static const struct can_bittiming_const timing = {
	.name = "pair", .tseg1_min = 1, .tseg1_max = 64, .tseg2_min = 1, .tseg2_max = 32, .sjw_max = 16, .brp_min = 1, .brp_max = 512, .brp_inc = 1,
};

static enum can_state level(unsigned int count)
{
	return count >= 256 ? CAN_STATE_BUS_OFF : count >= 128 ? CAN_STATE_ERROR_PASSIVE : count >= 96 ? CAN_STATE_ERROR_WARNING : CAN_STATE_ERROR_ACTIVE;
}

static void count_errors(struct net_device *dev, unsigned int transmit, unsigned int receive)
{
	struct end *end = netdev_priv(dev);
	enum can_state tx = level(transmit), rx = level(min(receive, 255u)), now = max(tx, rx);
	struct can_frame *report;
	struct sk_buff *skb;

	end->counters.txerr = min(transmit, 255u);
	end->counters.rxerr = min(receive, 255u);
	if (now == end->can.state)
		return;
	skb = alloc_can_err_skb(dev, &report);
	can_change_state(dev, skb ? report : NULL, tx >= rx ? tx : 0, rx >= tx ? rx : 0);
	if (now == CAN_STATE_BUS_OFF)
		can_bus_off(dev);
	if (!skb)
		return;
	if (now != CAN_STATE_BUS_OFF) {
		report->can_id |= CAN_ERR_CNT;
		report->data[6] = end->counters.txerr;
		report->data[7] = end->counters.rxerr;
	}
	netif_rx(skb);
}

static ssize_t errors_store(struct device *device, struct device_attribute *attribute, const char *text, size_t length)
{
	struct net_device *dev = to_net_dev(device);
	unsigned int transmit, receive;

	if (sscanf(text, "%u %u", &transmit, &receive) != 2)
		return -EINVAL;
	rtnl_lock();
	if (netif_running(dev))
		count_errors(dev, transmit, receive);
	rtnl_unlock();
	return length;
}
static DEVICE_ATTR_WO(errors);
static struct attribute *wire_attributes[] = { &dev_attr_errors.attr, NULL };
static const struct attribute_group wire_group = { .name = "wire", .attrs = wire_attributes };

static int pair_open(struct net_device *dev)
{
	struct end *end = netdev_priv(dev);
	int refused = open_candev(dev);

	if (refused)
		return refused;
	end->counters = (struct can_berr_counter){ 0 };
	end->can.state = CAN_STATE_ERROR_ACTIVE;
	netif_start_queue(dev);
	return 0;
}

static int pair_stop(struct net_device *dev)
{
	struct end *end = netdev_priv(dev);

	netif_stop_queue(dev);
	end->can.state = CAN_STATE_STOPPED;
	close_candev(dev);
	return 0;
}

/* What one end sends the other receives at once. An end that only listens is heard by nobody. */
static netdev_tx_t pair_xmit(struct sk_buff *skb, struct net_device *dev)
{
	struct end *end = netdev_priv(dev);
	struct net_device *other = end->other;
	struct sk_buff *copy;

	if (can_dropped_invalid_skb(dev, skb))
		return NETDEV_TX_OK;
	dev->stats.tx_packets++;
	if (!(end->can.ctrlmode & CAN_CTRLMODE_LISTENONLY) && netif_running(other)) {
		copy = skb_clone(skb, GFP_ATOMIC);
		if (copy) {
			skb_orphan(copy);
			copy->dev = other;
			copy->pkt_type = PACKET_BROADCAST;
			copy->ip_summed = CHECKSUM_UNNECESSARY;
			other->stats.rx_packets++;
			netif_rx(copy);
		}
	}
	consume_skb(skb);
	return NETDEV_TX_OK;
}

static int pair_set_mode(struct net_device *dev, enum can_mode mode)
{
	struct end *end = netdev_priv(dev);

	if (mode != CAN_MODE_START)
		return -EOPNOTSUPP;
	end->counters = (struct can_berr_counter){ 0 };
	end->can.state = CAN_STATE_ERROR_ACTIVE;
	netif_wake_queue(dev);
	return 0;
}

static int pair_counters(const struct net_device *dev, struct can_berr_counter *counters)
{
	*counters = ((struct end *)netdev_priv(dev))->counters;
	return 0;
}

static const struct net_device_ops pair_ops = { .ndo_open = pair_open, .ndo_stop = pair_stop, .ndo_start_xmit = pair_xmit };

static int __init pair_init(void)
{
	int i, refused = 0;

	for (i = 0; i < ENDS; i++) {
		struct end *end;

		ends[i] = alloc_candev(sizeof(struct end), 0);
		if (!ends[i])
			return -ENOMEM;
		end = netdev_priv(ends[i]);
		end->can.clock.freq = 80000000;
		end->can.bittiming_const = &timing;
		end->can.ctrlmode_supported = CAN_CTRLMODE_LISTENONLY | CAN_CTRLMODE_BERR_REPORTING;
		end->can.do_set_mode = pair_set_mode;
		end->can.do_get_berr_counter = pair_counters;
		ends[i]->netdev_ops = &pair_ops;
		ends[i]->sysfs_groups[0] = &wire_group;
		snprintf(ends[i]->name, IFNAMSIZ, "pair%d", i);
	}
	for (i = 0; i < ENDS; i++) {
		((struct end *)netdev_priv(ends[i]))->other = ends[!i];
		refused = refused ? refused : register_candev(ends[i]);
	}
	return refused;
}

static void __exit pair_exit(void)
{
	int i;

	for (i = 0; i < ENDS; i++) {
		unregister_candev(ends[i]);
		free_candev(ends[i]);
	}
}

module_init(pair_init);
module_exit(pair_exit);
MODULE_LICENSE("Dual MIT/GPL");
MODULE_DESCRIPTION("Two CAN controllers on a wire of their own, for tests");
